"""The json form, against its own published schema."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from oneclimb.plan.schema import schema_text
from oneclimb.report.record import record
from oneclimb.review import Review
from report.reviews import BROKEN, CRASH, PACKS, PLAN, Folder

SCHEMA = json.loads(schema_text("report-1.schema.json"))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    monkeypatch.chdir(tmp_path)
    return Folder(Path())


def read(*reviews: Review) -> dict[str, Any]:
    report = json.loads(record(reviews, PACKS))
    jsonschema.Draft202012Validator(SCHEMA, format_checker=jsonschema.FormatChecker()).validate(report)
    return dict(report)


def properties(node: Any, at: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every property of a schema with its path."""
    if isinstance(node, dict):
        for name, value in node.get("properties", {}).items():
            yield f"{at}/{name}", value
        for name, value in node.items():
            yield from properties(value, f"{at}/{name}")
    elif isinstance(node, list):
        for value in node:
            yield from properties(value, at)


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_the_schema_says_what_every_property_is_and_shows_an_example() -> None:
    listed = list(properties(SCHEMA))
    assert len(listed) > 60
    for path, one in listed:
        target = SCHEMA["$defs"][one["$ref"].rsplit("/", 1)[1]] if "$ref" in one else one
        assert target.get("description"), path
        scalar = target.get("type") not in ("object", "array") and "anyOf" not in target
        assert not scalar or {"const", "enum", "examples"} & set(target), path


def test_the_schema_s_examples_are_valid() -> None:
    for path, one in properties(SCHEMA):
        for example in one.get("examples", []):
            assert jsonschema.Draft202012Validator(one).is_valid(example), path


def test_a_full_review_is_written_whole(folder: Folder) -> None:
    (plan,) = read(folder.full())["plans"]
    first = plan["findings"][0]
    assert first["at"]["path"] == "camera/drive-cam/mount/along"
    assert first["figure"] == {
        "name": "night view kept",
        "value": 0.38,
        "low": 0.3,
        "high": 0.45,
        "unit": "",
        "good": "high",
    }
    assert [(r["tried"], r["partial"], r["ladder"]) for r in first["remedies"]] == [
        (True, False, True),
        (True, True, False),
        (False, False, False),
    ]
    assert first["remedies"][0]["edits"] == [{"how": "replace", "at": "camera/drive-cam/mount/along", "to": "10.85 m"}]
    assert first["fingerprint"] == "SHINE-01:camera/drive-cam:downpipe"
    assert plan["accepted"][0]["safety"] is True
    assert plan["cannot-tell"][0]["codes"] == ["SHINE-01", "SHINE-02"]
    assert plan["unlocks"][0]["checks"] == 2
    assert plan["to-show"] == {"bench": 2, "cable": 1, "day": 2, "night": 2}
    assert plan["counts"] == {"error": 1, "warning": 0, "note": 1}


def test_a_plan_that_cannot_be_used_has_its_faults_only(folder: Folder) -> None:
    report = read(folder.review(PLAN.replace("shape: turret", "shape: turet")), folder.review(name="b.plan.yaml"))
    bad, good = report["plans"]
    assert (bad["usable"], good["usable"]) == (False, True)
    assert bad["faults"][0]["code"] == "PLAN-14"
    assert bad["faults"][0]["span"]["line"] == 9
    assert report["counts"]["error"] == 1


def test_internal_faults_are_kept(folder: Folder) -> None:
    assert [(c["code"], c["at"]) for c in read(folder.review(crashes=(BROKEN, CRASH)))["crashes"]] == [
        ("dull", None),
        ("SHINE-01", "camera/drive-cam"),
    ]


def test_the_schema_refuses_what_a_report_never_has(folder: Folder) -> None:
    report = read(folder.full())
    report["plans"][0]["findings"][0]["level"] = "fatal"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(report, SCHEMA)
