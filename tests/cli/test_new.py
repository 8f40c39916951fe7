"""``oneclimb new``: a plan from a tape's answers."""

from __future__ import annotations

import os
import pty
import subprocess
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from cli.calls import COMMAND, NEW, oneclimb
from oneclimb import kit
from oneclimb.cli.answers import QUESTIONS, BadAnswerError, Question, camera, checked, slug
from oneclimb.cli.draft import draft

HOUSE = dict(zip([arg[2:] for arg in NEW[:-2:2]], NEW[1:-2:2], strict=True)) | {"name": "", "country": "", "coast": ""}


def test_options_alone_write_a_plan_that_is_used_at_once(tmp_path: Path) -> None:
    done = oneclimb("new", "home", *NEW, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout == "home.plan.yaml is written. Next: oneclimb check home.plan.yaml\n"
    checked_ = oneclimb("check", "home.plan.yaml", cwd=tmp_path)
    assert checked_.returncode in {0, 1}, checked_.stdout
    assert "PLAN-" not in checked_.stdout


@pytest.mark.parametrize(
    "cameras",
    [
        ["front, 11.2, 2.5, gate, 9.5, 8"],
        ["front, 0.3, 2.6, drive, 3, 6", "back, 3, 2.5, Back door, 6, 2", "left, 1, 2.4, gate, 5, 1.2"],
        ["front, 1, 2.5, gate, 9.5, 8", "front, 11, 2.5, gate, 9.5, 8", "back, 1, 2.5, gate, 2, 3"],
        [
            "front, 0.3, 2.6, drive, 3, 6",
            "front, 11, 2.6, path, 6, 5",
            "right, 3.5, 2.6, bins, 1, 1.5",
            "back, 6, 2.7, lawn, 6, 9",
        ],
    ],
)
@pytest.mark.parametrize(("country", "coast"), [("", ""), ("England", "80"), ("Scotland", "60 km")])
def test_an_untouched_first_plan_has_at_most_five_findings_a_camera(
    cameras: list[str], country: str, coast: str
) -> None:
    given = HOUSE | {"country": country, "coast": coast}
    review = kit.look(draft(given, [camera(one.split(","), given, "metres") for one in cameras]))
    assert not review.loaded.faults
    assert len(review.findings) <= 5 * len(cameras)
    assert not review.crashes


def test_feet_and_inches_and_every_open_answer_filled(tmp_path: Path) -> None:
    given = [*NEW[:-2], "--name", 'No. 7: the "Mill" #2', "--country", "no", "--coast", "2 km"]
    given[1], given[5], given[9] = "feet", "37 ft 5 in", "8 ft 10 in"
    given[13] = "29 ft 6 in, 10, 45.5, 5"
    done = oneclimb("new", "mill.plan.yaml", *given, "--camera", "front, 36, 8 ft 2 in, gate, 31, 26", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    written = (tmp_path / "mill.plan.yaml").read_text(encoding="utf-8")
    review = kit.look(written)
    assert review.loaded.plan is not None
    site = review.loaded.plan.site
    assert (site.name, site.country, site.coast) == ('No. 7: the "Mill" #2', "no", 2000)
    assert review.loaded.plan.cameras[0].mount.spot.z == pytest.approx((8 * 12 + 2) * 0.0254)


def test_a_terraced_house_without_an_eave_has_a_wall_s_height() -> None:
    given = HOUSE | {"eave-depth": "0.00", "boundary": "4 0 6 0", "eave-height": "5.2"}
    review = kit.look(draft(given, [camera(["front", " 0", " 2.6", " path", " 0", " 3"], given, "metres")]))
    assert review.loaded.plan is not None, review.loaded.faults
    (house,) = review.loaded.plan.buildings
    assert (house.height, house.eave) == (5.2, None)


def test_a_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "home.plan.yaml").write_text("mine", encoding="utf-8")
    (tmp_path / "gone.plan.yaml").symlink_to("nowhere")
    for name in ("home", "home.plan.yaml", "gone"):
        done = oneclimb("new", name, *NEW, cwd=tmp_path)
        assert done.returncode == 2
        assert "is left as it is" in done.stderr
    assert (tmp_path / "home.plan.yaml").read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "nowhere").exists()


def test_without_a_terminal_it_names_the_options_it_needs(tmp_path: Path) -> None:
    done = oneclimb("new", "home", *NEW[4:-2], cwd=tmp_path)
    assert done.returncode == 2
    assert "these are needed: --units, --faces, --camera" in done.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("option", "answer", "said"),
    [
        ("--units", "yards", "one of metres, feet"),
        ("--width", "wide", "--width"),
        ("--width", "-3", "above 0"),
        ("--width", "0", "above 0"),
        ("--eave-depth", "-1", "of 0 or more"),
        ("--boundary", "9, 3", "four distances"),
        ("--pixels", "4MP", "two numbers, such as 2560 x 1440"),
        ("--camera", "front, 12, 2.5, gate, 9, 8", "the front wall is only 11.4 long"),
        ("--camera", "front, 11, 2.9, gate, 9, 8", "the eave is at 2.7"),
        ("--camera", "front, 11, 2.5, gate, 9, 0.1", "against the wall itself"),
        ("--camera", "front, 11, 2.5", "six parts"),
    ],
)
def test_an_answer_that_won_t_do_says_why(option: str, answer: str, said: str, tmp_path: Path) -> None:
    at = NEW.index(option)
    done = oneclimb("new", "home", *NEW[:at], option, answer, *NEW[at + 2 :], cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert not list(tmp_path.iterdir())


def test_on_a_terminal_it_asks_and_asks_again(tmp_path: Path) -> None:
    answers = [
        "feet please",
        "metres",
        "Heron Cottage",
        "",
        "",
        "200",
        "11.4",
        "7.2",
        "2.7",
        "0.45",
        "9 3 14 1.5",
        "2560 x 1440",
        "100",
        "30 m",
        "1",
        "fr",
        "99",
        "11.2",
        "2.5",
        "Gate",
        "9.5",
        "8",
    ]
    ours, theirs = pty.openpty()
    with subprocess.Popen([COMMAND, "new", "home"], cwd=tmp_path, stdin=theirs, stdout=theirs, stderr=theirs) as run:
        os.close(theirs)
        os.write(ours, "".join(f"{answer}\n" for answer in answers).encode())
        shown = b""
        while b"is written" not in shown and run.poll() is None:
            shown += os.read(ours, 65536)
        assert run.wait() == 0, shown.decode()
    os.close(ours)
    assert b"one of metres, feet" in shown
    assert b"the front wall is only 11.4 long" in shown
    plan = yaml.safe_load((tmp_path / "home.plan.yaml").read_text(encoding="utf-8"))
    assert plan["site"] == {"name": "Heron Cottage"}
    assert plan["cameras"][0] == {
        "id": "gate-cam",
        "type": "camera",
        "mount": {"wall": "front", "along": 11.2, "height": 2.5},
        "aim": "gate",
    }


def test_every_question_has_an_option(tmp_path: Path) -> None:
    shown = oneclimb("new", "--help", cwd=tmp_path).stdout
    assert not [q.option for q in QUESTIONS if q.option not in shown]


@given(st.text(min_size=1, max_size=30))
def test_any_name_is_refused_or_read_back_as_it_was_given(name: str) -> None:
    question = Question("name", "", "text", open=True)
    try:
        kept = checked(question, name, "metres")
    except BadAnswerError:
        return
    text = draft(HOUSE | {"name": kept}, [camera(["front", " 11", " 2.5", " gate", " 9", " 8"], HOUSE, "metres")])
    assert (yaml.safe_load(text).get("site") or {"name": ""})["name"] == " ".join(name.split())


@pytest.mark.parametrize(
    ("words", "name"), [("Back door", "back-door"), ("the  gate!", "the-gate"), ("Tür", "tür"), ("!", "")]
)
def test_a_few_words_make_an_id(words: str, name: str) -> None:
    assert slug(words) == name
