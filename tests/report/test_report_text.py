"""The text form: one line a finding in a pipe, a sheet on a terminal."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from oneclimb.api import Figure, Finding, Ref, Related, Remedy
from oneclimb.engine.measure import CannotTell
from oneclimb.report.look import Look
from oneclimb.report.text import text
from report.reviews import BACK, BROKEN, CRASH, DRIVE, FOUND, PLAN, Folder

PIPE, SHEET = Look(), Look(people=True, width=90)
GNU = re.compile(r"(?P<file>[^:]+):(?P<line>\d+):(?P<column>\d+): (?P<what>[a-z ]+?)( \d+)?: (?P<text>.+)")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    monkeypatch.chdir(tmp_path)
    return Folder(Path())


def test_a_finding_is_one_line_with_place_level_code_figure_and_the_first_remedy(folder: Folder) -> None:
    first = text([folder.full()], PIPE).splitlines()[0]
    assert first == (
        "heron.plan.yaml:13:26: error: SHINE-01 the downpipe 30 cm to the left of drive-cam returns its infrared "
        "[night view kept: 38 % (30 to 45 %)]. move drive-cam 35 cm to the left "
        "(tried in the model: then 96 %)"
    )


def test_every_line_in_a_pipe_begins_with_the_plan_or_the_program(folder: Folder) -> None:
    lines = text([folder.full()], Look(steps=True)).splitlines()
    whats = [m["what"] for line in lines if (m := GNU.fullmatch(line))]
    assert whats == ["error", "step", "step", "note", "cannot tell", "cannot tell", "accepted"]
    assert all(line.startswith(("heron.plan.yaml:", "oneclimb: ")) for line in lines)


def test_the_thing_is_named_where_the_words_do_not(folder: Folder) -> None:
    note = text([folder.full()], PIPE).splitlines()[1]
    assert "note: SHINE-01 connector drive-cam-plug: the plug is open to the rain" in note
    assert note.endswith(" [its doubt reaches across a limit]")


def test_the_sheet_says_a_doubt_in_words_that_are_true_of_a_note_too(folder: Folder) -> None:
    for level in ("note", "warning"):
        shown = text([folder.review(findings=(replace(FOUND, level=level, softened=True),))], SHEET).split()
        said = "doubt its doubt reaches across a limit, so this is told one level milder, or as a note"
        assert said in " ".join(shown)


def test_the_one_remedy_of_a_line_is_the_first_that_was_tried_and_does_all(folder: Folder) -> None:
    full, partial, advice = FOUND.remedies
    second = replace(full, text="a bracket of 10 cm")

    def line(*remedies: Remedy) -> str:
        return text([folder.review(findings=(replace(FOUND, remedies=remedies),))], PIPE).splitlines()[0]

    assert "]. move drive-cam 35 cm to the left (tried" in line(advice, partial, full, second)
    assert "]. matt black on the downpipe (tried in the model, helps in part)" in line(partial, advice)
    assert "]. a separate lamp a metre aside (advice, not tried)" in line(advice, partial)


def test_a_remedy_s_figure_is_named_only_where_it_is_another_than_the_finding_s(folder: Folder) -> None:
    one = Remedy("dim it", FOUND.remedies[0].edits, Figure("light on the lens", 2.0, "lx"))
    shown = text([folder.review(findings=(replace(FOUND, remedies=(one,)),))], PIPE).splitlines()[0]
    assert shown.endswith("dim it (tried in the model: light on the lens: 2 lx)")


def test_one_question_for_two_rules_is_asked_once(folder: Folder) -> None:
    asked = [line for line in text([folder.full()], PIPE).splitlines() if "cannot tell" in line]
    assert [line.split(": ", 2)[2] for line in asked] == [
        "SHINE-01, SHINE-02 camera drive-cam: How is its plug sealed?",
        "SHINE-01 camera back-cam: What light does it need?",
    ]


def test_the_summary_counts_everything(folder: Folder) -> None:
    assert (
        "heron.plan.yaml: 1 error and 1 note in 2 cameras; 3 checks could not be made; "
        "1 finding accepted by 1 deviation\n" in text([folder.full()], PIPE)
    )


def test_findings_and_the_deviations_that_accept_them_are_counted_apart(folder: Folder) -> None:
    full = folder.full()
    (one,) = full.accepted
    other = replace(one, deviation=replace(one.deviation, at="camera/drive-cam"))
    shown = text([replace(full, accepted=(one, one, other))], PIPE)
    assert "; 3 findings accepted by 2 deviations\n" in shown


def test_the_answers_that_would_settle_most_come_first(folder: Folder) -> None:
    settle = [line for line in text([folder.full()], PIPE).splitlines() if "would settle" in line]
    assert settle == ["heron.plan.yaml: would settle 2 checks: camera drive-cam: How is its plug sealed?"]


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_a_deviation_shows_its_reason_who_agreed_and_its_end(folder: Folder, look: Look) -> None:
    shown = " ".join(text([folder.full()], look).split())
    assert "the owner wants it so (agreed by the owner, until 2031-05-01)" in shown


def test_one_deviation_s_reason_is_told_once_after_all_it_accepts(folder: Folder) -> None:
    full = folder.full()
    (one,) = full.accepted
    shown = text([replace(full, accepted=(one, replace(one, finding=FOUND)))], SHEET)
    assert re.findall(r"^ +(accepted|because)  ", shown, re.MULTILINE) == ["accepted", "accepted", "because"]


def test_a_safety_rule_s_deviation_stands_at_the_top_of_the_sheet(folder: Folder) -> None:
    shown = text([folder.full()], SHEET)
    assert shown.index("Accepted from a safety rule") < shown.index("camera drive-cam")


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_a_clean_plan_says_so_and_that_the_law_was_not_looked_at(folder: Folder, look: Look) -> None:
    shown = " ".join(text([folder.review()], look).split())
    assert "nothing found in 2 cameras" in shown
    assert "No country is named; the law on planning, privacy and electrical work was not checked." in shown
    assert "Mains: a licensed electrician's work." in shown


def test_a_clean_plan_s_report_is_short(folder: Folder) -> None:
    lines = text([folder.review()], PIPE).splitlines()
    others = [line for line in lines if ": assumed: " not in line]
    assert [line.partition(": ")[0] for line in others] == [*["heron.plan.yaml"] * 2, "oneclimb", "oneclimb"]
    assert max(map(len, lines)) < 260


def test_a_clean_plan_has_two_lines_of_its_own_beside_what_was_assumed(folder: Folder) -> None:
    lines = text([folder.review()], PIPE).splitlines()
    own = [line for line in lines if line.startswith("heron.plan.yaml") and ": assumed: " not in line]
    assert own == [
        "heron.plan.yaml: nothing found in 2 cameras",
        "heron.plan.yaml: still to be tested and shown: a bench test of 2 cameras, a test of 1 cable, the day view of "
        "2 cameras and the night view of 2 cameras",
    ]


def test_a_named_country_is_named_as_not_checked(folder: Folder) -> None:
    shown = text([folder.review(PLAN.replace("coast: 400 m", "country: England"))], PIPE)
    assert "The law of England on planning, privacy and electrical work was not checked." in shown


def test_what_was_assumed_is_said_once_a_kind(folder: Folder) -> None:
    lines = [line for line in text([folder.review()], PIPE).splitlines() if ": assumed: " in line]
    kinds = [line.split(": ")[2] for line in lines]
    assert "camera" in kinds
    assert len(kinds) == len(set(kinds))


def test_the_sheet_groups_a_plug_under_its_camera(folder: Folder) -> None:
    shown = text([folder.full()], SHEET)
    assert "camera drive-cam, line 11" in shown
    assert "connector drive-cam-plug, line" not in shown


def test_the_sheet_numbers_its_remedies_and_says_which_were_tried(folder: Folder) -> None:
    shown = " ".join(text([folder.full()], SHEET).split())
    assert "remedy 1 move drive-cam 35 cm to the left (tried in the model: then 96 %)" in shown
    assert "remedy 2 matt black on the downpipe (tried in the model, helps in part)" in shown
    assert "remedy 3 a separate lamp a metre aside (advice, not tried)" in shown


def test_the_sheet_shows_a_ladder_s_caution_at_the_finding_that_needs_one(folder: Folder) -> None:
    shown = text([folder.full()], SHEET)
    assert shown.count("ladder work") == 1
    assert "care  mains near by" in shown


def test_the_same_care_is_told_once_a_camera(folder: Folder) -> None:
    again = replace(FOUND, key="gutter")
    shown = text([folder.review(findings=(FOUND, again, replace(FOUND, at=Ref("camera", "back-cam"))))], SHEET)
    assert shown.count("care  ") == 2


def test_what_is_related_is_not_named_twice(folder: Folder) -> None:
    related = (Related(Ref("object", "downpipe"), "downpipe, 0.30 m off"),)
    shown = text([folder.review(findings=(replace(FOUND, related=related),))], SHEET)
    assert "see  object downpipe, line 5: 0.30 m off" in shown


def test_a_number_stays_with_its_unit(folder: Folder) -> None:
    finding = replace(FOUND, text=" ".join(["12 % of 8 ft 10 in, 75 m, 21 px/m"] * 12))
    for width in range(40, 90):
        shown = text([folder.review(findings=(finding,))], Look(people=True, width=width))
        assert not re.search(r"\d\n *(%|ft|in|m|px/m)\b", shown)
        assert "\u00a0" not in shown


def test_steps_are_shown_only_when_asked_for(folder: Folder) -> None:
    assert "E = I" not in text([folder.full()], SHEET)
    assert "step 1  E = I / d^2 = 4.1 lx" in text([folder.full()], Look(people=True, width=90, steps=True))


@pytest.mark.parametrize("width", [40, 60, 100])
def test_no_line_of_the_sheet_is_wider_than_the_terminal(folder: Folder, width: int) -> None:
    shown = text([folder.full()], Look(people=True, width=width, steps=True))
    assert max(map(len, shown.splitlines())) <= width


def test_colour_adds_nothing_but_colour(folder: Folder) -> None:
    plain = text([folder.full()], SHEET)
    coloured = text([folder.full()], Look(people=True, colour=True, width=90))
    assert "\x1b[1;31merror\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


@pytest.mark.parametrize(
    ("environment", "colour"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"NO_COLOR": ""}, True), ({"TERM": "dumb"}, False)],
)
def test_no_color_and_dumb_terminals_get_no_colour(environment: dict[str, str], colour: bool) -> None:
    assert Look.of(Terminal(), environment).colour is colour


def test_a_pipe_gets_neither_colour_nor_the_sheet() -> None:
    assert Look.of(io.StringIO(), {}) == Look(people=False, colour=False, width=100)


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_a_fault_of_the_plan_shows_where_and_what_may_help(folder: Folder, look: Look) -> None:
    review = folder.review(PLAN.replace("shape: turret", "shape: turet"))
    shown = text([review], look)
    assert review.loaded.plan is None
    assert "PLAN-14" in shown
    assert "turret" in shown
    assert "cannot be used yet" in shown
    assert "licensed" not in shown


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_an_internal_fault_is_shown_once_for_all_plans(folder: Folder, look: Look) -> None:
    one = folder.review(crashes=(BROKEN, CRASH))
    two = folder.review(name="two.plan.yaml", crashes=(BROKEN,))
    shown = " ".join(text([one, two], look).split())
    assert shown.count("cannot be loaded") == 1
    assert shown.count("incomplete, ") == 2
    assert "SHINE-01 at camera/drive-cam: ZeroDivisionError: division by zero" in shown


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_what_a_plan_says_can_t_write_a_line_or_a_command_of_its_own(folder: Folder, look: Look) -> None:
    evil = "\x1b[2J\n::error::gone\n##[error]x \u202e"
    finding = Finding("SHINE-01", "note", Ref("camera", "drive-cam"), f"{evil} {{0}}", caution=evil)
    told = CannotTell("SHINE-01", Ref("camera", "back-cam"), evil)
    shown = text([folder.review(findings=(finding,), cannot_tell=(told,))], look)
    assert not re.search(r"[\x00-\x09\x0b-\x1f\u202e]|^\s*::|##", shown, re.MULTILINE)


def test_a_file_name_can_t_start_a_command(folder: Folder) -> None:
    shown = text([folder.review(name="::warning::x.plan.yaml", findings=(FOUND,))], PIPE)
    assert not [line for line in shown.splitlines() if line.startswith("::")]


def test_the_sheet_names_every_thing_an_answer_is_wanted_for(folder: Folder) -> None:
    asks = "How is its plug sealed?"
    told = tuple(CannotTell("SHINE-01", Ref("camera", name), asks) for name in ("drive-cam", "back-cam"))
    shown = " ".join(text([folder.review(cannot_tell=told)], SHEET).split())
    assert "answer 1 How is its plug sealed? (drive-cam line 11, back-cam line 16; settles 2 checks)" in shown


def asked(*times: int) -> tuple[CannotTell, ...]:
    """Question n of drive-cam, asked so many times."""
    drive = Ref("camera", "drive-cam")
    return tuple(CannotTell("SHINE-01", drive, f"Question {n}?") for n, many in enumerate(times) for _ in range(many))


def test_of_many_questions_the_sheet_puts_three_first_and_the_rest_by_thing(folder: Folder) -> None:
    shown = text([folder.review(cannot_tell=asked(2, 2, 2, 2, 1))], SHEET)
    assert re.findall(r"answer (\d)  (Question \d\?)", shown) == [(str(n + 1), f"Question {n}?") for n in range(3)]
    assert "also  camera drive-cam, line 11: Question 3? Question 4?" in shown


def test_answers_that_settle_one_check_each_are_not_put_first(folder: Folder) -> None:
    review = folder.review(cannot_tell=asked(1, 1, 1, 1, 1))
    shown = text([review], SHEET)
    assert "answer 1" not in shown
    assert "missing  camera drive-cam, line 11: Question 0? Question 1?" in shown
    assert "would settle" not in text([review], PIPE)


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_without_any_rule_nothing_is_called_clean(folder: Folder, look: Look) -> None:
    shown = " ".join(text([replace(folder.review(), rules=())], look).split())
    assert "no rule of those loaded speaks of such a plan, so nothing was checked" in shown
    assert "nothing found" not in shown


def test_a_rule_that_fails_on_every_camera_is_one_line(folder: Folder) -> None:
    broken = tuple(replace(CRASH, ref=Ref("camera", f"cam-{n}")) for n in range(9))
    lines = [line for line in text([folder.review(crashes=broken)], PIPE).splitlines() if "internal fault: " in line]
    assert lines == [
        "oneclimb: internal fault: SHINE-01 at camera/cam-0, camera/cam-1, camera/cam-2, camera/cam-3 and 5 more: "
        "ZeroDivisionError: division by zero"
    ]


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_a_design_says_in_one_line_what_is_still_to_be_shown(folder: Folder, look: Look) -> None:
    shown = " ".join(text([folder.review()], look).split())
    assert (
        "still to be tested and shown: a bench test of 2 cameras, a test of 1 cable, the day view of 2 cameras" in shown
    )
    ready = " ".join(text([folder.review(PLAN.replace("site: {", "site: {stage: ready, "))], look).split())
    assert "still to be tested" not in ready


@pytest.mark.parametrize("look", [PIPE, SHEET])
def test_what_a_type_s_line_brings_to_several_cameras_is_told_once(folder: Folder, look: Look) -> None:
    one = Finding(
        "SHINE-01", "warning", DRIVE.at("pixels"), "drive-cam is coarse", remedies=(Remedy("a finer drive-cam"),)
    )
    same = Finding(
        "SHINE-01", "warning", BACK.at("pixels"), "back-cam is coarse", remedies=(Remedy("a finer back-cam"),)
    )
    shown = " ".join(text([folder.review(findings=(one, same))], look).split())
    assert "drive-cam is coarse" in shown
    assert "back-cam is coarse" not in shown
    assert "the same of back-cam" in shown
    assert "2 warnings" in shown, "each still counts"
    for other in (
        replace(same, level="note"),
        replace(same, text="back-cam is odd"),
        replace(same, at=BACK.at("mount")),
    ):
        shown = " ".join(text([folder.review(findings=(one, other))], look).split())
        assert other.text in shown
        assert "the same of" not in shown
