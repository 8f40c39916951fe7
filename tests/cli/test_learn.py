"""The verbs for reading: rules, explain, schema."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from cli.calls import PLAN, oneclimb
from oneclimb.packs import load_packs
from oneclimb.plan.faults import FAULTS


def test_rules_lists_every_rule_with_its_levels_and_pack(tmp_path: Path) -> None:
    done = oneclimb("rules", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    for code, rule in load_packs().rules.items():
        (line,) = [line for line in done.stdout.splitlines() if line.startswith(code)]
        assert rule.info.title in line
        assert ("local" if code.startswith("LOCAL") else "trade") in line


def test_rules_as_json_hold_the_same(tmp_path: Path) -> None:
    listed = json.loads(oneclimb("rules", "--format", "json", cwd=tmp_path).stdout)
    packs = load_packs()
    assert [one["code"] for one in listed] == list(packs.rules)
    for one in listed:
        assert one["title"] == packs.rules[one["code"]].info.title
        assert set(one["limits"]) == {"note", "warning", "error"}


def test_explain_gives_a_rule_s_page_as_it_stands_in_a_pipe(tmp_path: Path) -> None:
    code = next(iter(load_packs().rules))
    done = oneclimb("explain", code.lower(), cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, load_packs().page(code))


@pytest.mark.parametrize("code", ["PLAN-01", "PLAN-11"])
def test_explain_tells_what_a_fault_of_the_plan_means(code: str, tmp_path: Path) -> None:
    done = oneclimb("explain", code, cwd=tmp_path)
    assert done.stdout == f"# {code}: {FAULTS[code].title}\n\n{FAULTS[code].explain}\n"


def test_explain_names_what_is_near_an_unknown_code(tmp_path: Path) -> None:
    done = oneclimb("explain", "PLAN-1", cwd=tmp_path)
    assert done.returncode == 2
    assert "PLAN-1" in done.stderr
    assert "Near it: PLAN-" in done.stderr


@pytest.mark.parametrize("which", ["plan", "owner", "report"])
def test_schema_prints_a_schema(which: str, tmp_path: Path) -> None:
    done = oneclimb("schema", "--which", which, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    schema = json.loads(done.stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


def test_the_printed_report_schema_checks_a_printed_report(tmp_path: Path) -> None:
    (tmp_path / "a.plan.yaml").write_text(PLAN, encoding="utf-8")
    schema = json.loads(oneclimb("schema", "--which", "report", cwd=tmp_path).stdout)
    report = json.loads(oneclimb("check", "a.plan.yaml", "--format", "json", cwd=tmp_path).stdout)
    jsonschema.validate(report, schema)


def test_the_printed_plan_schema_checks_a_plan_and_finds_a_slip(tmp_path: Path) -> None:
    schema = json.loads(oneclimb("schema", cwd=tmp_path).stdout)
    camera = {"id": "a", "mount": {"at": [0, -3], "height": 3}, "aim": {"bearing": 180, "tilt": 20}}
    jsonschema.validate({"cameras": [camera]}, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"cameras": [{**camera, "mout": 3}]}, schema)
