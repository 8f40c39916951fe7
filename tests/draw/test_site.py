"""The site from above: to scale, by the compass, every finding where its thing is, nothing over anything."""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Patch

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.draw.marks import PITCH, TAKEN, loose_rows, places
from oneclimb.draw.placing import Paper
from oneclimb.draw.site_key import key
from oneclimb.plan.units import FOOT
from oneclimb.review import check, world_of
from oneclimb.study import CHART

EXAMPLES = Path(__file__).parents[2] / "examples"
COTTAGE = EXAMPLES / "two-cameras/cottage.plan.yaml"
TURNED = """
site: {name: "A <b>yard</b> $x^2$ & more", plus-y: 40, stage: design}
buildings:
  - {id: hall, front: {faces: 220, width: 10 m}, depth: 6 m, height: 3 m, surface: red brick}
areas:
  - {id: gate, for: detect, wall: front, along: 2 to 6, out: 3 to 8}
cameras:
  - {id: eye, shape: turret, pixels: 2560 x 1440, view: 80 deg, night: infrared, infrared: 20 m,
     mount: {wall: front, along: 4 m, height: 2.6 m}, aim: gate}
"""


def sitting(text: str) -> Sitting:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


@pytest.fixture(scope="module")
def cottage() -> Sitting:
    review = check(str(COTTAGE), kit.packs(), kit.schemas(), today=kit.DAY)
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def drawn(one: Sitting, kind: str = "site") -> tuple[Picture, Figure]:
    picture = next(iter(pictures(one, [kind])))
    return picture, ink.drawn(picture)


def outline(figure: Figure, gid: str) -> list[tuple[float, float]]:
    """The corners of a patch on the paper, in mm."""
    axes = figure.axes[0]
    patch = next(patch for patch in axes.patches if patch.get_gid() == gid)
    points = axes.transData.transform(corners(patch))
    return [(25.4 / figure.dpi * float(x), 25.4 / figure.dpi * float(y)) for x, y in points]


def corners(patch: Patch) -> list[tuple[float, float]]:
    """The corners of a patch, in its axes' units."""
    points = patch.get_patch_transform().transform(np.asarray(patch.get_path().vertices))
    return [(float(x), float(y)) for x, y in points]


def shapes(figure: Figure) -> dict[str, Patch]:
    """The findings' marks by their name."""
    named = {str(patch.get_gid()): patch for patch in figure.axes[0].patches}
    return {name: patch for name, patch in named.items() if name.startswith("shape-")}


def test_ten_metres_of_wall_are_as_long_on_paper_as_the_scale_bar_says() -> None:
    _, figure = drawn(sitting(TURNED))
    wall = outline(figure, "building-hall")
    sides = sorted(math.dist(a, b) for a, b in itertools.pairwise(wall))
    bars = [outline(figure, f"scale-{part}") for part in range(4)]
    left, right = bars[0][0][0], bars[3][1][0]
    said = next(text.get_text() for text in figure.axes[0].texts if re.fullmatch(r"\d+ m", text.get_text()))
    assert max(sides) / 10.0 == pytest.approx((right - left) / float(said.split()[0]), rel=1e-6)
    assert sides[1] / 6.0 == pytest.approx(max(sides) / 10.0, rel=1e-6)


def test_feet_are_drawn_with_a_bar_of_feet(cottage: Sitting) -> None:
    _, figure = drawn(cottage)
    bars = [outline(figure, f"scale-{part}") for part in range(4)]
    said = next(text.get_text() for text in figure.axes[0].texts if re.fullmatch(r"\d+ ft", text.get_text()))
    wall = outline(figure, "building-house")
    longest = max(math.dist(a, b) for a, b in itertools.pairwise(wall))
    bar = bars[3][1][0] - bars[0][0][0]
    assert longest / (34 * FOOT) == pytest.approx(bar / (float(said.split()[0]) * FOOT), rel=1e-6)


def test_the_arrow_points_north_by_the_plans_own_bearings() -> None:
    _, figure = drawn(sitting(TURNED))
    letter = next(text for text in figure.axes[0].texts if text.get_text() == "N")
    tip, _, waist = corners(figure.axes[0].patches[-1])[:3]
    east, up = tip[0] - waist[0], tip[1] - waist[1]
    north = math.radians(-40.0)
    assert (east / math.hypot(east, up), up / math.hypot(east, up)) == pytest.approx((math.sin(north), math.cos(north)))
    assert math.dist(letter.get_position(), tip) < math.dist(letter.get_position(), waist)


def test_every_finding_has_one_mark_that_leads_to_it_and_stands_near_its_thing(cottage: Sitting) -> None:
    picture, figure = drawn(cottage)
    numbers = [number for number, _ in cottage.numbered]
    marks = shapes(figure)
    assert sorted(marks) == sorted(f"shape-{number}" for number in numbers)
    svg = ink.svg(picture)
    assert all(svg.count(f'"#finding-{number}"') == 1 for number in numbers)
    mount = cottage.world.get(Ref("camera", "front-cam")).mount.spot
    here = next(found for place, found in places(cottage).items() if place == (mount.x, mount.y))
    mm = figure.axes[0].transData
    for number, _ in here:
        box = marks[f"shape-{number}"].get_extents()
        at = mm.transform((mount.x, mount.y))
        middle = ((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2)
        assert math.dist(middle, at) * 25.4 / figure.dpi < 40.0


def test_levels_are_told_by_shape(cottage: Sitting) -> None:
    _, figure = drawn(cottage)
    marks = shapes(figure)
    seen = set()
    for number, one in cottage.numbered:
        patch = marks[f"shape-{number}"]
        level = one.finding.level
        seen.add(level)
        assert isinstance(patch, Circle) == (level == "note")
        if level == "warning":
            (_, y), (x, _), (_, end), _, _ = corners(patch)
            assert x == pytest.approx((corners(patch)[0][0] + corners(patch)[2][0]) / 2)
            assert end == pytest.approx(y)
    assert seen == {"warning", "note"}


def test_marks_and_names_lie_over_one_another_nowhere(cottage: Sitting) -> None:
    _, figure = drawn(cottage)
    rects = [shapely.box(*patch.get_extents().extents) for patch in shapes(figure).values()]
    whole = sum(rect.area for rect in rects)
    assert shapely.unary_union(rects).area > 0.9 * whole


def test_the_ground_that_is_shaded_is_the_ground_the_camera_sees(cottage: Sitting) -> None:
    _, figure = drawn(cottage)
    shaded = [patch for patch in figure.axes[0].patches if patch.get_alpha() == 0.13]
    for patch, camera in zip(shaded, cottage.world.plan.cameras, strict=True):
        rings = [shapely.Polygon(ring) for ring in patch.get_path().to_polygons()]
        area = rings[0].area if len(rings) == 1 else shapely.unary_union(rings).area
        chart = cottage.world.of(CHART, camera)
        seen = float((chart.ground & chart.stood).sum()) * chart.cell
        assert area == pytest.approx(seen, rel=0.03)


def test_crosses_stand_on_neighbours_ground_and_nowhere_else(cottage: Sitting) -> None:
    _, figure = drawn(cottage)
    crosses = [line for line in figure.axes[0].lines if line.get_marker() == "x"]
    land = shapely.union_all(
        [shapely.Polygon(one.outline) for one in cottage.world.plan.land if one.id == "beyond-left"]
    )
    points = [shapely.Point(*xy) for line in crosses for xy in np.asarray(line.get_xydata(), dtype=np.float64)]
    assert len(points) > 10
    assert all(land.contains(point) for point in points)


@pytest.mark.parametrize("count", [1, 40])
def test_findings_of_no_one_place_stand_under_the_ground_in_as_many_rows_as_they_take(count: int) -> None:
    across = int((200.0 - TAKEN) / PITCH)
    assert loose_rows([(n, "note") for n in range(count)], 200.0) == math.ceil(count / across)


def test_the_words_say_what_each_camera_sees_with_the_charts_figures(cottage: Sitting) -> None:
    picture, _ = drawn(cottage)
    chart = cottage.world.of(CHART, cottage.world.get(Ref("camera", "front-cam")))
    assert f"{round(chart.served(250.0) / FOOT**2, -1):.0f} sq ft" in picture.words
    assert "front-cam, 8 ft 2 in up, looks" in picture.words
    assert all(f"{number} {one.finding.level} at " in picture.words for number, one in cottage.numbered)


def test_the_ground_of_a_camera_has_lines_at_the_tasks_it_serves(cottage: Sitting) -> None:
    picture, figure = drawn(cottage, "ground")
    said = [text.get_text() for text in figure.axes[0].texts]
    assert "identify: 250 px/m" in said
    assert "By day front-cam shows a person standing well enough to detect (25 px/m)" in picture.words
    titles = [axes.get_title(loc="left") for axes in figure.axes]
    assert titles[0].startswith("By day")
    assert titles[1].startswith("By night, every lamp out: usable on ")


@pytest.mark.parametrize("kind", ["site", "ground"])
def test_the_same_plan_draws_the_same_bytes(kind: str) -> None:
    one, two = (next(iter(pictures(sitting(TURNED), [kind]))) for _ in range(2))
    assert ink.svg(one) == ink.svg(two)
    assert ink.png(one) == ink.png(two)


def test_what_a_plan_is_called_is_text_and_nothing_else() -> None:
    turned = TURNED.replace("<b>yard</b>", "<b>yard</b>\\u202e")
    picture, _ = drawn(sitting(turned))
    svg = ink.svg(picture)
    assert "&lt;b&gt;yard&lt;/b&gt;\\u{202e} $x^2$ &amp; more" in svg
    assert "<b>" not in svg
    assert "\u202e" not in svg + picture.words


def test_a_drawing_leaves_the_librarys_own_settings_alone() -> None:
    before = dict(mpl.rcParams)
    drawn(sitting(TURNED))
    assert dict(mpl.rcParams) == before


BOX = st.tuples(st.floats(5, 195), st.floats(5, 95), st.floats(2, 20), st.floats(2, 6))


@given(st.lists(BOX, max_size=12))
@settings(deadline=None, max_examples=60)
def test_boxes_find_room_where_there_is_room(boxes: list[tuple[float, float, float, float]]) -> None:
    paper = Paper(200.0, 100.0)
    for x, y, wide, high in boxes:
        paper.room(x, y, wide, high)
    rects = [shapely.box(*rect) for rect in paper.taken]
    over = sum(a.intersection(b).area for i, a in enumerate(rects) for b in rects[:i])
    assert over <= 0.2 * sum(rect.area for rect in rects)


def test_the_key_tells_what_is_on_the_sheet_and_nothing_else(cottage: Sitting) -> None:
    told = " ".join(key(cottage.world.plan))
    for shape in (
        "ring with rays: lamp",
        "cross in a ring",
        "its eave",
        "dash and dot: boundary",
        "hatched",
        "bold dash",
    ):
        assert shape in told
    bare = " ".join(key(sitting(TURNED).world.plan))
    assert "bold dashes: what is wanted" in bare
    for shape in ("lamp", "boundary", "neighbour", "public way", "crossed box", "cables", "cross in a ring"):
        assert shape not in bare
    text = " ".join(one.get_text() for one in drawn(cottage)[1].axes[0].texts)
    assert all(line in text for line in key(cottage.world.plan))
