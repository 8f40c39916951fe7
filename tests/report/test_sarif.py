"""The SARIF form, against the OASIS schema and what hosts ask for beyond it."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Change, Finding, Ref, Remedy
from oneclimb.plan.faults import FAULTS
from oneclimb.report.places import uri
from oneclimb.report.sarif import sarif
from oneclimb.review import Review
from report.hosts import hold
from report.reviews import BROKEN, CRASH, FOUND, PACKS, PLAN, RULES, Folder

EVIL = "[a](http://b.example) {0} \x1b[2J \u202e ##[error]x"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    monkeypatch.chdir(tmp_path)
    return Folder(Path())


def run(*reviews: Review) -> dict[str, Any]:
    """The one run of a log that is valid and fit for hosts."""
    return hold(json.loads(sarif(reviews, PACKS)))


def by_code(one: dict[str, Any], code: str) -> list[dict[str, Any]]:
    return [result for result in one["results"] if result["ruleId"] == code]


def test_every_rule_and_every_fault_of_a_plan_is_listed_though_none_fired(folder: Folder) -> None:
    one = run(folder.review())
    assert {rule["id"] for rule in one["tool"]["driver"]["rules"]} == {*RULES, *FAULTS}
    assert one["results"] == []


def test_a_rule_s_help_is_its_page(folder: Folder) -> None:
    rules = {rule["id"]: rule for rule in run(folder.review())["tool"]["driver"]["rules"]}
    assert rules["SHINE-01"]["help"]["markdown"] == (Path(__file__).parent / "shine.md").read_text(encoding="utf-8")
    assert rules["SHINE-01"]["fullDescription"]["text"] == "A bright thing near the lens."
    assert rules["SHINE-01"]["shortDescription"]["text"] == "Light that comes back."


def test_a_finding_has_its_place_level_words_figure_and_remedies(folder: Folder) -> None:
    first = run(folder.full())["results"][0]
    assert first["level"] == "error"
    place = first["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "heron.plan.yaml"
    line = PLAN.splitlines()[place["region"]["startLine"] - 1]
    assert line[place["region"]["startColumn"] - 1 : place["region"]["endColumn"] - 1] in {"11.2", "along: 11.2"}
    assert first["message"]["text"].startswith("the downpipe 30 cm to the left of drive-cam returns its infrared. ")
    assert "night view kept: 38 % (30 to 45 %)." in first["message"]["text"]
    assert "Remedy 3: a separate lamp a metre aside (advice, not tried)." in first["message"]["text"]


def test_fingerprints_are_code_place_and_key_and_stay_when_lines_move(folder: Folder) -> None:
    before = run(folder.full())
    after = run(folder.full(f"# moved\n\n{PLAN}"))
    prints = [[r["partialFingerprints"] for r in one["results"]] for one in (before, after)]
    assert prints[0][0] == {"oneclimb/v1": "SHINE-01:camera/drive-cam:downpipe"}
    assert prints[0] == prints[1]
    assert before["results"] != after["results"]


def test_the_pipe_is_a_related_location(folder: Folder) -> None:
    (related,) = run(folder.full())["results"][0]["relatedLocations"]
    assert related["physicalLocation"]["region"]["startLine"] == 5
    assert related["message"]["text"] == "white plastic, 0.30 m off"


def test_a_remedy_with_edits_is_a_fix_and_advice_is_not(folder: Folder) -> None:
    fixes = run(folder.full())["results"][0]["fixes"]
    assert [fix["description"]["text"] for fix in fixes] == [
        "move drive-cam 35 cm to the left",
        "matt black on the downpipe",
    ]
    (change,) = fixes[0]["artifactChanges"]
    (replacement,) = change["replacements"]
    where = replacement["deletedRegion"]
    line = PLAN.splitlines()[where["startLine"] - 1]
    fixed = line[: where["startColumn"] - 1] + replacement["insertedContent"]["text"] + line[where["endColumn"] - 1 :]
    assert fixed == line.replace("11.2", "10.85 m")


def test_a_remedy_that_cannot_be_made_in_the_text_is_told_but_is_no_fix(folder: Folder) -> None:
    dark = Remedy("cover the downpipe", (Change("dark", Ref("object", "downpipe")),))
    (result,) = run(folder.review(findings=(replace(FOUND, remedies=(dark,)),)))["results"]
    assert "fixes" not in result
    assert "Remedy 1: cover the downpipe" in result["message"]["text"]


def test_the_steps_of_a_calculation_are_a_code_flow(folder: Folder) -> None:
    (flow,) = run(folder.full())["results"][0]["codeFlows"]
    steps = [at["location"]["message"]["text"] for at in flow["threadFlows"][0]["locations"]]
    assert steps == list(FOUND.steps)


def test_what_cannot_be_told_is_open_and_has_no_level(folder: Folder) -> None:
    opened = [result for result in run(folder.full())["results"] if result.get("kind") == "open"]
    assert [(r["ruleId"], r["level"]) for r in opened] == [
        ("SHINE-01", "none"),
        ("SHINE-02", "none"),
        ("SHINE-01", "none"),
    ]


def test_a_deviation_is_a_suppression_with_its_reason(folder: Folder) -> None:
    accepted = [result for result in run(folder.full())["results"] if "suppressions" in result]
    assert [result["suppressions"] for result in accepted] == [
        [
            {
                "kind": "inSource",
                "status": "accepted",
                "justification": "the owner wants it so (agreed by the owner, until 2031-05-01)",
            }
        ]
    ]


def test_faults_of_the_plan_are_results_of_their_own_codes(folder: Folder) -> None:
    broken = PLAN.replace("shape: turret", "shape: turet").replace("tilt", "").replace("depth: 7.2", "dept: 7.2")
    one = run(folder.review(broken))
    assert {"PLAN-14", "PLAN-11"} <= {result["ruleId"] for result in one["results"]}
    assert {result["level"] for result in one["results"]} == {"error"}
    assert one["invocations"][0]["executionSuccessful"] is True


def test_two_equal_faults_have_two_fingerprints(folder: Folder) -> None:
    twice = PLAN.replace("type: turret\n", "tint: red\n    type: turret\n").replace(
        "{id: back-cam,", "{id: back-cam, tint: red,"
    )
    found = by_code(run(folder.review(twice)), "PLAN-11")
    assert len(found) == 2


def test_a_rule_that_crashed_makes_the_run_unsuccessful(folder: Folder) -> None:
    (invocation,) = run(folder.review(crashes=(BROKEN, CRASH)))["invocations"]
    assert invocation["executionSuccessful"] is False
    texts = [told["message"]["text"] for told in invocation["toolExecutionNotifications"]]
    assert "ZeroDivisionError" in texts[1]
    assert invocation["toolExecutionNotifications"][1]["associatedRule"]["id"] == "SHINE-01"


def test_packs_are_extensions_and_columns_count_code_points(folder: Folder) -> None:
    one = run(folder.review())
    assert one["tool"]["extensions"] == [{"name": "bright", "version": "1.2.0"}]
    assert one["columnKind"] == "unicodeCodePoints"


def test_what_a_plan_says_is_no_link_and_no_placeholder(folder: Folder) -> None:
    finding = Finding("SHINE-01", "note", Ref("camera", "drive-cam"), EVIL, key=EVIL, caution=EVIL, steps=(EVIL,))
    run(folder.review(findings=(finding,)))
    raw = sarif([folder.review(findings=(finding,))], PACKS)
    assert raw.isascii()
    assert "##" not in raw


def test_equal_reviews_give_equal_bytes(folder: Folder) -> None:
    assert sarif([folder.full()], PACKS) == sarif([folder.full()], PACKS)


@pytest.mark.parametrize(
    "name", ["a b.plan.yaml", "100%.plan.yaml", "müller#1?.plan.yaml", "c:x.plan.yaml", "~.plan.yaml"]
)
def test_an_address_is_percent_encoded_and_reads_back(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / name).touch()
    assert unquote(uri(name)) == name
    assert re.fullmatch(r"[A-Za-z0-9._~%/-]+", uri(name))


def test_an_address_counts_from_the_repository_wherever_one_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    deep = tmp_path / "repo" / "sites" / "a"
    deep.mkdir(parents=True)
    subprocess.run(["git", "init", "-q", str(tmp_path / "repo")], check=True)
    (deep / "x.plan.yaml").touch()
    for here, named in (
        (deep, "x.plan.yaml"),
        (tmp_path / "repo", "sites/a/x.plan.yaml"),
        (tmp_path, str(deep / "x.plan.yaml")),
    ):
        monkeypatch.chdir(here)
        assert uri(named) == "sites/a/x.plan.yaml"


def test_an_address_outside_any_repository_is_never_absolute(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "inside").mkdir()
    (tmp_path / "x.plan.yaml").touch()
    monkeypatch.chdir(tmp_path)
    assert uri("x.plan.yaml") == uri(str(tmp_path / "x.plan.yaml")) == "x.plan.yaml"
    monkeypatch.chdir(tmp_path / "inside")
    assert uri("../x.plan.yaml") == "x.plan.yaml"
    assert uri("missing/y.plan.yaml") == "missing/y.plan.yaml"


def test_two_findings_of_one_name_are_told_apart_and_two_plans_are_not_mixed_up(folder: Folder) -> None:
    twin = Finding("SHINE-01", "note", Ref("camera", "drive-cam"), "one")
    one = run(folder.review(findings=(twin, twin)), folder.review(name="two.plan.yaml", findings=(twin,)))
    assert [result["partialFingerprints"]["oneclimb/v1"] for result in one["results"]] == [
        "SHINE-01:camera/drive-cam",
        "SHINE-01:camera/drive-cam:2",
        "SHINE-01:camera/drive-cam",
    ]


def test_rules_that_wait_for_a_list_the_plan_leaves_out_are_listed_too() -> None:
    review = kit.look("""
house: {front: {faces: 180, width: 12}, depth: 8}
cameras: [{id: cam, mount: {wall: front, height: 2.8}, night: none}]
""")
    waiting = {one.code for one in review.cannot_tell} - {rule.info.code for rule in review.rules}
    assert waiting
    log = hold(json.loads(sarif([review], kit.packs())))
    assert waiting <= {rule["id"] for rule in log["tool"]["driver"]["rules"]}
