"""The simulated pictures: what is where the lens puts it, as bright as the night study says, the same each time."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from matplotlib import colors

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.draw import Picture, Sitting, ink, overlay, pictures, tones
from oneclimb.engine.world import World
from oneclimb.plan.model import Camera
from oneclimb.review import world_of
from oneclimb.study import COVER, DARK, DAYLIGHT, NIGHT, PICTURE
from oneclimb.study.picture import USABLE, WHITE

FAILING, PASSING = kit.plans(kit.packs().page("GLARE-01"))


def sitting(text: str) -> Sitting:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


@pytest.fixture(scope="module")
def lane() -> Sitting:
    return sitting(FAILING)


def camera_of(one: Sitting) -> tuple[World, Camera]:
    return one.world, one.world.plan.cameras[0]


def drawn(one: Sitting, kind: str) -> list[Picture]:
    return list(pictures(one, [kind]))


def test_the_picture_drawn_is_the_one_the_night_study_exposes(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    fine, view = world.of(PICTURE, camera), world.of(NIGHT, camera).view(DARK)
    taken = fine.taken(DARK)
    assert float((taken >= 1.0).mean()) == pytest.approx(view.white, abs=0.01)
    assert float(taken.mean()) == pytest.approx(float(view.picture.mean()), abs=0.01)
    coarse = taken[: taken.shape[0] // 4 * 4, : taken.shape[1] // 4 * 4]
    blocks = coarse.reshape(coarse.shape[0] // 4, 4, -1, 4).mean(axis=(1, 3))
    rows, cols = (min(a, b) for a, b in zip(blocks.shape, view.picture.shape, strict=True))
    assert np.median(np.abs(blocks[:rows, :cols] - view.picture[:rows, :cols])) < 0.01


def test_without_the_pipe_the_far_field_comes_back(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    pipe = Ref("object", "pipe")
    bare = world.vary(Change("absent", pipe))
    now, then = world.of(PICTURE, camera), bare.of(PICTURE, bare.get(Ref("camera", camera.id)))
    ground = now.raster.owner == now.raster.scene.numbers[Ref("site", "site", "ground")]
    lit, free = (one.taken(DARK).ravel()[ground].mean() for one in (now, then))
    assert free > 1.3 * lit
    assert tones.shares(then, DARK)[WHITE] < tones.shares(now, DARK)[WHITE]


def test_classes_of_the_picture_are_the_margins_of_who_stands_there(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    fine, night = world.of(PICTURE, camera), world.of(NIGHT, camera)
    found, view = fine.classes(DARK), night.view(DARK)
    rows, cols = fine.size
    points, shown = night.found.points, night.found.shown
    x, y, inside = fine.raster.eye.project(points)
    agree = 0
    tried = [i for i in np.flatnonzero(shown & inside) if abs(view.margins[i]) > 0.7]
    for i in tried:
        agree += (found[int(y[i] * rows), int(x[i] * cols)] == USABLE) == (view.margins[i] > 0.0)
    assert len(tried) > 20
    assert agree > 0.7 * len(tried)  # a pixel shows the surface behind who stands there


def test_a_person_in_the_picture_is_as_tall_as_the_pixels_a_metre_say(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    raster, cover = world.of(PICTURE, camera).raster, world.of(COVER, camera)
    area = cover.areas["lane"]
    foot = overlay.stand(area.ground, area.seen)
    assert foot is not None
    places = overlay.through(raster, overlay.figure(foot, raster))
    high = float(np.ptp(places[:, 1])) * camera.pixels[1]
    index = int(np.argmin(np.linalg.norm(area.ground - foot, axis=1)))
    down = np.cos(np.radians(area.down[index]))
    assert high == pytest.approx(area.pxm[index] * overlay.TALL * down, rel=0.12)


def test_an_outline_lies_where_the_lens_puts_its_corners(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    raster = world.of(DAYLIGHT, camera).raster
    corners = np.array([[*corner, overlay.OVER] for corner in world.plan.areas[0].outline])
    x, y, _ = raster.eye.project(corners)
    (day,) = drawn(lane, "day")
    lines = [np.asarray(line.get_xydata()) for line in ink.drawn(day).axes[0].lines]
    ring = max(lines, key=len)
    for place in zip(x, y, strict=True):
        assert np.nanmin(np.linalg.norm(ring - place, axis=1)) < 1e-6


def test_the_night_is_grey_and_the_day_is_hued_by_kind_only(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    day = world.of(DAYLIGHT, camera)
    pixels = tones.day_pixels(day)
    assert pixels.shape == (day.raster.rows, day.raster.cols, 3)
    assert (pixels.max(axis=2) <= tones.shown(day.taken) + 1e-12).all()
    assert tones.night_pixels(world.of(PICTURE, camera)).ndim == 2


def test_the_picture_of_a_finding_shows_it_as_planned_without_and_with_the_remedy(lane: Sitting) -> None:
    found = drawn(lane, "other")
    number = next(n for n, one in lane.numbered if one.finding.code == "GLARE-01")
    (one,) = [picture for picture in found if picture.finding == number]
    remedy = next(r for r in lane.numbered[number - 1][1].finding.remedies if r.edits)
    titles = [axes.get_title(loc="left").replace("\n", " ") for axes in ink.drawn(one).axes]
    assert titles == ["corner by night, as planned", "without pipe", remedy.text]
    assert "Without pipe:" in one.words
    assert one.words.count("along its axis as far as") == 3


def test_every_class_in_the_picture_is_told_with_its_share(lane: Sitting) -> None:
    world, camera = camera_of(lane)
    (night,) = drawn(lane, "night")
    shares = tones.shares(world.of(PICTURE, camera), DARK)
    assert sum(shares.values()) == pytest.approx(1.0)
    legend = ink.drawn(night).axes[1].get_legend()
    assert legend is not None
    keys = [text.get_text() for text in legend.get_texts()]
    for one, share in shares.items():
        if share > 0.004:
            assert f"{tones.CLASSES[one][0]} {round(100 * share)} %" in keys
            assert f"{round(100 * share)} % {tones.CLASSES[one][0]}" in night.words


def test_classes_differ_in_grey_or_in_hatch() -> None:
    told = [(np.dot(colors.to_rgb(grey), (0.2126, 0.7152, 0.0722)), hatch) for _, grey, hatch in tones.CLASSES.values()]
    for (grey, hatch), (other, others) in itertools.combinations(told, 2):
        assert abs(grey - other) > 0.15 or hatch != others


@pytest.mark.parametrize("kind", ["day", "night", "other"])
def test_the_same_plan_gives_the_same_picture(kind: str, lane: Sitting) -> None:
    again = sitting(FAILING)
    assert [ink.png(one) for one in drawn(lane, kind)] == [ink.png(one) for one in drawn(again, kind)]


def test_a_camera_whose_light_is_not_described_has_a_day_and_no_night() -> None:
    silent = sitting(PASSING.replace("    infrared: 30 m\n", ""))
    assert [one.name for one in drawn(silent, "day")] == ["day-corner"]
    assert drawn(silent, "night") == []


@pytest.mark.parametrize(("along", "shown"), [("4.4", ["night-eye", "night-eye-lit"]), ("60", ["night-eye"])])
def test_a_lamp_that_burns_all_night_has_a_picture_where_it_matters(along: str, shown: list[str]) -> None:
    review = kit.look(f"""
house: {{front: {{faces: 180, width: 70}}, depth: 8, height: 4}}
areas: [{{id: yard, for: detect, wall: front, along: 2 to 7, out: 2 to 8}}]
lamps: [{{id: porch, wall: front, along: {along}, height: 2.5, lumens: 900, kind: white LED, lit: dusk}}]
cameras:
  - {{id: eye, shape: dome, mount: {{wall: front, along: 4, height: 2.5}}, aim: yard, view: 90 deg, pixels: 1920 x 1080,
     night: infrared, infrared: 20 m}}
""")
    one = Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))
    assert [picture.name for picture in pictures(one, ["night"])] == shown
