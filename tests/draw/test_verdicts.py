"""What a picture is said to come to is what the finding and the studies say; before and after differ as they should."""

from __future__ import annotations

import numpy as np
import pytest

from draw.seen import drawn, page, sitting
from oneclimb.api import Change, Finding, Ref
from oneclimb.draw import Picture, Sitting, causes, ink, panes, tones, verdict
from oneclimb.report.facts import tape
from oneclimb.study import ALL, COVER, DARK, DAYLIGHT, NIGHT, PICTURE
from oneclimb.study.raster import SKY

LIT_ROOM = page("GLARE-04").replace("room: dark", "room: lit, curtain: false").replace("night: infrared", "night: none")
LIT_ROOM = LIT_ROOM.replace(
    "cameras:",
    "lamps: [{id: street, at: [5, -9], height: 4 m, lumens: 4000, kind: white LED, lit: dusk}]\ncameras:",
)


def title(picture: Picture, frame: int = 0) -> str:
    return ink.drawn(picture).axes[frame].get_title(loc="left").replace("\n", " ")


def finding(one: Sitting, code: str) -> tuple[int, Finding]:
    return next((number, told.finding) for number, told in one.numbered if told.finding.code == code)


@pytest.mark.parametrize(
    ("code", "name", "cause"),
    [
        ("GLARE-01", "night-corner", "its own infrared off pipe, 0.25 m from the lens"),
        ("GLARE-02", "night-house-cam", "the light of pole-cam, 2.20 m away"),
        ("GLARE-03", "night-dome-lit", "the light of porch, 0.30 m from the lens"),
        ("GLARE-04", "night-sill-cam", "its own light, thrown back by the pane before it"),
    ],
)
def test_a_night_s_verdict_is_the_finding_s_figure_and_cause(code: str, name: str, cause: str) -> None:
    one = sitting(page(code))
    number, told = finding(one, code)
    assert told.figure is not None
    (picture,) = [picture for picture in drawn(one, "night") if picture.name == name]
    share = tape(one.review).share(abs(told.figure.value))
    assert title(picture).endswith(f": spoilt, {share} of the night view lost to {cause} (finding {number})")
    assert title(picture).split(": ", 1)[1] in picture.words
    assert f"Finding {number}: {told.text}." in picture.words


def test_a_verdict_s_figure_is_what_the_night_study_loses_to_the_cause() -> None:
    one = sitting(page("GLARE-01"))
    _, told = finding(one, "GLARE-01")
    camera = one.world.plan.cameras[0]
    bare = one.world.vary(Change("dark", Ref("object", "pipe")))
    lost = panes.lost(one.world.of(NIGHT, camera).view(), bare.of(NIGHT, camera).view())
    assert verdict.taken(one.world, told, camera, DARK) == pytest.approx(lost)


def test_a_lamp_s_verdict_is_of_the_lamps_that_are_lit_in_the_picture() -> None:
    text = page("GLARE-03").replace(
        "cameras:", "  - {id: far, at: [5, -14], height: 4 m, lumens: 6000, kind: white LED, lit: motion}\ncameras:"
    )
    one = sitting(text)
    number, told = finding(one, "GLARE-03")
    camera = one.world.plan.cameras[0]
    dark = one.world.vary(Change("dark", Ref("lamp", "porch"))).of(NIGHT, camera)
    lost = panes.lost(one.world.of(NIGHT, camera).view(ALL), dark.view(ALL))
    assert verdict.taken(one.world, told, camera, ALL) == pytest.approx(lost)
    lit = [picture for picture in drawn(one, "night") if picture.name == "night-dome-lit"]
    assert f"{tape(one.review).share(lost)} of the night view lost" in title(lit[0])
    assert f"(finding {number})" in title(lit[0])


def test_a_sound_night_says_on_how_much_of_the_ground_it_is_usable() -> None:
    one = sitting(page("GLARE-03"))
    dark = next(picture for picture in drawn(one, "night") if picture.name == "night-dome")
    used = one.world.of(NIGHT, one.world.plan.cameras[0]).view(DARK).usable["yard"].value
    assert title(dark) == f"dome by night, every lamp out: usable on {round(100 * used)} % of yard"
    assert "porch" not in dark.words  # what is told of the lamp lit is no part of the picture with it out


def test_a_day_s_verdict_is_the_worst_finding_s_figure() -> None:
    one = sitting(page("VIEW-01"))
    number, told = finding(one, "VIEW-01")
    assert told.figure is not None
    (day,) = drawn(one, "day")
    share = tape(one.review).share(told.figure.value)
    assert title(day) == f"lawn-cam by day: {told.figure.name}: {share} (finding {number})"


def before_and_after(code: str) -> tuple[Sitting, Picture, list[causes.Shown]]:
    one = sitting(page(code))
    number, told = finding(one, code)
    (picture,) = [picture for picture in drawn(one, "other") if picture.finding == number]
    return one, picture, causes.worlds(one.world, told, one.world.plan.cameras[0])


def test_a_turn_away_from_the_sky_shows_less_of_it() -> None:
    one, picture, (now, then) = before_and_after("VIEW-01")
    ref = Ref("camera", "lawn-cam")
    before, after = (shown.world.of(DAYLIGHT, shown.world.get(ref)).raster.shares()[SKY] for shown in (now, then))
    assert after < before
    assert f"{round(100 * before)} % sky" in picture.words
    assert f"{round(100 * after)} % sky" in picture.words
    assert now.figure is not None
    assert then.figure is not None
    assert then.figure.value < now.figure.value
    assert tape(one.review).share(then.figure.value) in ink.drawn(picture).axes[1].get_xlabel()


def test_a_tilt_off_the_neighbours_shows_no_face_of_theirs() -> None:
    _, picture, (now, then) = before_and_after("VIEW-02")
    ref = Ref("camera", "lawn-cam")
    seen = [
        sum(int(land.seen.sum()) for land in shown.world.of(COVER, shown.world.get(ref)).land.values())
        for shown in (now, then)
    ]
    assert seen[0] > 0 == seen[1]
    frames = ink.drawn(picture).axes
    assert any("neighbour" in text.get_text() for text in frames[0].texts)
    assert not any("neighbour" in text.get_text() for text in frames[1].texts)


def test_a_mask_drawn_back_covers_less_of_the_picture() -> None:
    _, picture, shown = before_and_after("VIEW-08")
    assert len(shown) == 2
    masks = [axes.patches[0].get_path().vertices for axes in ink.drawn(picture).axes]
    first, second = (float(np.asarray(mask)[:, 1].max()) for mask in masks)
    assert first == pytest.approx(0.5)
    assert second < first


def test_a_remedy_that_changes_no_picture_has_none() -> None:
    one = sitting(page("VIEW-12"))
    assert drawn(one, "other") == []


def test_ground_by_night_is_shown_with_the_remedy_as_far_as_it_is_told() -> None:
    one = sitting(page("GLARE-02"))
    number, told = finding(one, "VIEW-05")
    (picture,) = [picture for picture in drawn(one, "other") if picture.finding == number]
    now, then = causes.worlds(one.world, told, one.world.plan.cameras[0])
    used = []
    for shown in (now, then):
        camera = shown.world.get(Ref("camera", "house-cam"))
        used.append(shown.world.of(NIGHT, camera).view(shown.state).usable["path"].value)
        assert shown.figure is not None
        assert used[-1] == pytest.approx(shown.figure.value, abs=0.005)
    assert used[1] > used[0]
    assert f"on {round(100 * used[1])} % of path" in picture.words


# ------------------------------------------------------------------------ behind a pane


def test_its_own_light_off_the_pane_is_shown_with_it_and_without() -> None:
    one = sitting(page("GLARE-04"))
    _, told = finding(one, "GLARE-04")
    camera = one.world.plan.cameras[0]
    first, second = causes.worlds(one.world, told, camera)[:2]
    taken = [shown.world.of(PICTURE, camera).taken(shown.state) for shown in (first, second)]
    assert float(taken[0].min()) > 0.1  # the veil lies over all
    assert float(taken[1].min()) < 0.01


def test_a_lit_room_in_the_pane_lies_as_a_veil_over_the_picture() -> None:
    one = sitting(LIT_ROOM)
    number, told = finding(one, "GLARE-04")
    camera = one.world.plan.cameras[0]
    first, second = causes.worlds(one.world, told, camera)
    assert told.figure is not None
    found = panes.behind(one.world, told, camera)
    assert found is not None
    assert found.lost == pytest.approx(told.figure.value)
    fine = second.world.of(PICTURE, camera)
    views = [fine.night.view(shown.state, added=shown.veil) for shown in (first, second)]
    assert views[0].veil == pytest.approx(views[1].veil + found.veil[1])
    dark = [float(tones.night_pixels(fine, first.state, view).min()) for view in views]
    assert dark[0] > dark[1]
    (picture,) = [picture for picture in drawn(one, "other") if picture.finding == number]
    assert title(picture).startswith("sill-cam by night, with the lit room behind it, mirrored in the pane")
    for night in drawn(one, "night"):  # these carry no room's light, and say so by not blaming it
        assert "lost to" not in title(night)


def test_the_words_are_found_when_they_are_asked_for_and_once() -> None:
    asked: list[int] = []

    def said() -> str:
        asked.append(1)
        return "what it shows"

    one = Picture("day-x", "day", "x by day", said, Ref("camera", "x"), lambda: ink.sheet(10, 10))
    assert asked == []
    assert one.words == one.words == "what it shows"
    assert asked == [1]
