"""VIEW-10: what a parked car, a bin or a parasol hides when it is there."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.view.what_moves import WhatMoves

CODE = "VIEW-10"


def plan(
    things: str, *, areas: str = "{id: path, for: detect, wall: front, along: 16 to 24, out: 7, height: 1}"
) -> str:
    """A camera in the middle of a wide front wall, 2.5 m up, its glass 0.09 m out."""
    return f"""
house: {{front: {{faces: 180, width: 40}}, depth: 7, height: 5}}
objects: [{things}]
areas: [{areas}]
cameras:
  - id: cam
    mount: {{wall: front, along: 20, height: 2.5}}
    aim: {{bearing: 180, tilt: 18}}
    view: 90 deg
    night: none
"""


def car(out: float = 4, along: float = 20, more: str = "") -> str:
    return f"{{id: car, kind: car, wall: front, along: {along}, out: {out}{more}}}"


def hidden(text: str) -> dict[str, float]:
    return {reading.key: reading.figure.value for reading, _ in kit.readings(text, CODE)}


def test_the_page_holds() -> None:
    kit.hold_page(WhatMoves)


@pytest.mark.parametrize(("height", "far"), [(2.5, 14.5), (3.5, 10.15)])
def test_the_shadow_of_a_car_ends_where_similar_triangles_say(height: float, far: float) -> None:
    page = " ".join(page_path(WhatMoves).read_text(encoding="utf-8").split())
    assert f"5.8 × 2.5 / (2.5 − 1.5) = {5.8 * 2.5 / 1.0:.1f} m off" in page
    assert f"3.5 m up it is {5.8 * 3.5 / 2.0 + 1e-9:.1f} m" in page
    glass = 0.09
    spots = (("near", far + glass - 0.3), ("past", far + glass + 0.3))
    areas = ", ".join(
        f"{{id: {name}, for: detect, wall: front, along: 20, out: {out}, height: 0}}" for name, out in spots
    )
    text = plan(car(5.8 - 0.9 + glass), areas=areas).replace("height: 2.5", f"height: {height}")
    ((reading, _),) = kit.readings(text, CODE)
    assert [(one.area, one.hidden) for one in reading.facts["hides"]] == [("near", 1.0)]


def test_the_longer_the_van_the_more_it_hides() -> None:
    def wide(metres: float) -> str:
        return plan(f"{{id: van, kind: van, wall: front, along: 20, out: 3, wide: {metres}}}")

    swept = kit.sweep(CODE, wide, [0.4, 0.8, 1.5, 2.5, 3.5, 5])
    assert swept[0][1] == "note"
    assert swept[-1][1] == "warning"


def test_with_and_without_differ_by_what_is_hidden() -> None:
    ((reading, _),) = kit.readings(plan(car()), CODE)
    (one,) = reading.facts["hides"]
    assert one.without == 1.0
    (finding,) = (f for f in kit.look(plan(car())).findings if f.code == CODE)
    assert f"{round(100 * (1 - one.hidden))} % of it is seen with it, 100 % without" in finding.text


def test_a_place_the_car_itself_stands_on_is_nobodys_to_stand_at() -> None:
    under = "{id: path, for: detect, wall: front, along: 19 to 21, out: 3.3 to 4.7, height: 1}"
    assert hidden(plan(car(), areas=under)) == {}


def test_each_thing_has_its_own_share_and_what_always_stands_there_has_none() -> None:
    two = f"{car(along=17)}, {car(along=23).replace('id: car', 'id: other')}"
    shares = hidden(plan(two))
    assert set(shares) == {"object/car", "object/other"}
    assert shares["object/car"] == pytest.approx(shares["object/other"], abs=0.01)
    assert hidden(plan(car(more=", there: always"))) == {}


def test_a_bin_of_ones_own_or_the_camera_is_moved_and_a_neighbours_car_is_not() -> None:
    bins = plan(
        "{id: bin, kind: bin, wall: front, along: 20, out: 1, tall: 2.2}",
        areas="{id: step, for: detect, wall: front, along: 20, out: 3, height: 0}",
    )
    assert kit.hold_remedies(bins, CODE) >= 1
    (finding,) = (f for f in kit.look(plan(car())).findings if f.code == CODE)
    assert not any("keep car" in remedy.text for remedy in finding.remedies)
    assert finding.remedies[-1].text.startswith("agree where it is parked")
