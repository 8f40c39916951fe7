"""What is pointed at lies where the lens puts it; labels lie over nothing and are whole, at every size."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Annotation

from draw.seen import drawn, page, sitting
from oneclimb.api import Ref
from oneclimb.draw import Sitting, ink, pointing, sheets, where
from oneclimb.draw.placing import Paper
from oneclimb.place import lens
from oneclimb.study import DAYLIGHT, PICTURE
from oneclimb.study.raster import Raster

CROWD = """
site: {name: Crowd, coast: 40 km, weather: [dry]}
house: {front: {faces: 180, width: 10 m}, depth: 7 m, height: 3 m, surface: red brick}
objects:
  - {id: pipe-with-a-long-name, kind: downpipe, wall: front, along: 9.7 m, surface: white plastic}
areas:
  - {id: first-of-two, for: detect, points: [[16, -10], [17, -10], [17, -9], [16, -9]]}
  - {id: second-of-two, for: detect, points: [[16.2, -9.8], [17.2, -9.8], [17.2, -8.8], [16.2, -8.8]]}
  - {id: third-at-the-edge, for: detect, points: [[30, -3], [32, -3], [32, -2], [30, -2]]}
cameras:
  - {id: corner, shape: turret, mount: {wall: front, along: 9.4 m, height: 2.7 m}, aim: {bearing: 122, tilt: 14},
     view: 85 deg, pixels: 2560 x 1440, night: infrared, infrared: 30 m}
"""


@pytest.fixture(scope="module")
def crowd() -> Sitting:
    return sitting(CROWD)


def raster_of(one: Sitting, number: int = 0) -> Raster:
    return one.world.of(PICTURE, one.world.plan.cameras[number]).raster


def test_the_pipe_pointed_at_is_where_the_lens_puts_its_axis() -> None:
    one = sitting(page("GLARE-01"))
    camera, raster = one.world.plan.cameras[0], raster_of(one)
    found = where.spot(Ref("object", "pipe"), one.world, camera, raster)
    assert found is not None
    assert found.shape is not None
    pipe = one.world.get(Ref("object", "pipe"))
    tall = np.linspace(0.0, pipe.tall, 400)
    axis = np.column_stack([np.full(400, pipe.spot.x), np.full(400, pipe.spot.y), tall])
    x, y, inside = raster.eye.project(axis)
    assert inside.sum() > 20
    shown = found.shape[(y[inside] * raster.rows).astype(int), (x[inside] * raster.cols).astype(int)]
    assert shown.mean() > 0.98
    at = int(found.at[1] * raster.rows), int(found.at[0] * raster.cols)
    assert found.shape[at]
    assert found.shape.mean() == pytest.approx(raster.shares()[Ref("object", "pipe")])


def test_another_camera_in_the_frame_is_ringed_where_its_glass_is() -> None:
    one = sitting(page("GLARE-02"))
    here, other = one.world.plan.cameras
    (night, _) = drawn(one, "night")
    frame = ink.drawn(night).axes[0]
    x, y, _ = raster_of(one).eye.project(np.array([lens.glass(other, one.world.plan.site)]))
    rings = [
        line for line in frame.lines if line.get_color() == pointing.CALL and len(np.asarray(line.get_xydata())) > 9
    ]
    assert here.id == night.about.id
    assert len(rings) == 1
    places = np.asarray(rings[0].get_xydata())
    middle = (places.min(axis=0) + places.max(axis=0)) / 2
    assert middle == pytest.approx([x[0], y[0]], abs=1e-6)


def test_a_lamp_beside_the_camera_is_pointed_to_over_the_edge() -> None:
    one = sitting(page("GLARE-03"))
    camera, raster = one.world.plan.cameras[0], raster_of(one)
    found = where.spot(Ref("lamp", "porch"), one.world, camera, raster)
    assert found is not None
    assert found.outside is not None
    way = np.array(one.world.get(Ref("lamp", "porch")).spot.xyz) - raster.origin
    right, up = (float(way @ np.array(axis)) for axis in (raster.eye.right, raster.eye.up))
    assert found.outside == pytest.approx((right / math.hypot(right, up), -up / math.hypot(right, up)))
    assert min(found.at[0], 1.0 - found.at[0], found.at[1], 1.0 - found.at[1]) == pytest.approx(0.0, abs=1e-9)
    lit = next(picture for picture in drawn(one, "night") if picture.name.endswith("lit"))
    tips = [note.xy for note in ink.drawn(lit).axes[0].texts if isinstance(note, Annotation)]
    assert any(np.sign(tip[0] - 0.5) == np.sign(right) and min(tip[0], 1.0 - tip[0]) < 0.02 for tip in tips)


def test_ground_of_others_is_pointed_at_where_a_face_is_shown_most_finely() -> None:
    one = sitting(page("VIEW-02"))
    camera = one.world.plan.cameras[0]
    finding = one.numbered[0][1].finding
    raster = one.world.of(DAYLIGHT, camera).raster
    found = where.spot(finding.related[0].at, one.world, camera, raster)
    assert found is not None
    assert finding.figure is not None
    across, down = (math.tan(math.radians(angle / 2)) for angle in (camera.view.across, camera.view.down))
    depth = camera.pixels[0] / (2 * across * finding.figure.value)  # px/m = N / (2 z tan(angle/2))
    local = depth * np.array([(2 * found.at[0] - 1.0) * across, (1.0 - 2 * found.at[1]) * down, 1.0])
    face = raster.origin + local @ raster.eye.axes
    assert face[2] == pytest.approx(1.6, abs=0.02)  # the height at which faces are sampled


@settings(max_examples=60, deadline=None)
@given(arrays(np.float64, (1, 3, 3), elements=st.floats(-5, 5)), arrays(np.float64, 3, elements=st.floats(-5, 5)))
def test_the_nearest_place_of_a_triangle_is_no_farther_than_any_of_its_places(
    corners: np.ndarray[tuple[int, ...], np.dtype[np.float64]], point: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> None:
    a, b, c = corners[0]
    assume(float(np.linalg.norm(np.cross(b - a, c - a))) > 1e-3)  # the place holds no others
    share = np.array([(i, j, 60 - i - j) for i in range(61) for j in range(61 - i)]) / 60.0
    places = share @ corners[0]
    found = where.closest(corners, point)
    apart = np.linalg.norm(places - point, axis=1)
    assert np.linalg.norm(found - point) <= apart.min() + 1e-9
    step = max(float(np.linalg.norm(corners[0, i] - corners[0, i - 1])) for i in range(3)) / 60.0
    assert np.linalg.norm(places - found, axis=1).min() <= step + 1e-6


def boxes(figure: Figure, axes: int) -> list[tuple[float, float, float, float]]:
    """The labels of a frame as they are drawn, and the frame first; dots."""
    canvas: Any = FigureCanvasAgg(figure)
    renderer = canvas.get_renderer()
    figure.draw(renderer)
    one = figure.axes[axes]
    shown = [text for text in one.texts if text.get_text()]
    return [box.extents for box in (one.get_window_extent(renderer), *(t.get_window_extent(renderer) for t in shown))]


@pytest.mark.parametrize(("kind", "finding"), [("day", 0), ("night", 0), ("other", 1)])
def test_labels_lie_over_no_other_and_are_whole(kind: str, finding: int, crowd: Sitting) -> None:
    picture = next(one for one in drawn(crowd, kind) if one.finding == finding)
    whole, *labels = boxes(ink.drawn(picture), 0)
    assert len(labels) >= 3
    for left, bottom, right, top in labels:
        assert left >= whole[0] - 0.5
        assert right <= whole[2] + 0.5
        assert bottom >= whole[1] - 0.5
        assert top <= whole[3] + 0.5
    for a, b in itertools.combinations(labels, 2):
        assert min(a[2], b[2]) - max(a[0], b[0]) <= 0.5 or min(a[3], b[3]) - max(a[1], b[1]) <= 0.5


@pytest.mark.parametrize("text", ["front-yard: detect, lost", "MMMM WWWW", "Finding 12: 46 % of the frame", "iiiiiiil"])
@pytest.mark.parametrize("bold", [False, True])
def test_a_line_is_no_wider_than_it_is_reckoned(text: str, bold: bool) -> None:
    figure = Figure(dpi=ink.FINE)
    canvas: Any = FigureCanvasAgg(figure)
    renderer = canvas.get_renderer()
    for size in (9.0, 12.0):
        drawn_ = figure.text(
            0, 0, text, size=size, weight="bold" if bold else "normal", family=ink.STYLE["font.family"]
        )
        mm = drawn_.get_window_extent(renderer).width / figure.dpi * 25.4
        reckoned = sheets.width(text, size, bold=bold)
        assert mm <= reckoned + 0.2
        assert mm >= 0.85 * reckoned - 0.2


def test_lines_end_neither_within_a_figure_nor_past_the_width() -> None:
    said = "a person is usable on 81 % of step, as far as 13 m from the lens (finding 12), " + "x" * 90
    for wide in (20.0, 31.0, 60.0):
        lines = sheets.wrapped(said, wide, 9.0)
        assert all(sheets.width(line, 9.0) <= wide for line in lines)
        assert not any(line.startswith(("%", "m ", "12)")) for line in lines)
        assert "".join(lines).replace(" ", "") == said.replace(" ", "")


def test_a_label_with_no_room_beside_its_place_goes_where_there_is_some() -> None:
    def paper() -> Paper:
        made = Paper(200.0, 60.0)
        made.take(70.0, 30.0, 140.0, 60.0)
        return made

    def over(middle: tuple[float, float]) -> float:
        return max(0.0, 140.0 - (middle[0] - 15.0))  # mm of the box that lie over what is taken

    crowded, roomy = paper(), paper()
    assert over(crowded.room(20.0, 30.0, 30.0, 8.0)) > 0.0
    found = roomy.room(20.0, 30.0, 30.0, 8.0, anywhere=True)
    assert over(found) == 0.0
    assert found[0] + 15.0 <= 200.0
    assert found[0] < 160.0  # the nearest of them
