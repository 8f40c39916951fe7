"""The transforms of the symmetry tests do what they say: held against the schema and the plan's model."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from msgspec import Struct
from sites import site

from acceptance import transforms
from oneclimb import kit, review
from oneclimb.plan.model import Plan

PLAN = """\
units: feet
site: {plus-y: 20, coast: 4 km, weather: [fog, frost]}
buildings:
  - id: home
    front: {faces: 200, width: 36}
    depth: 23 ft 6 in
    eave: {height: 9, depth: 14 in, walls: [front, back]}
    surfaces: {left: chalk}
    windows:
      - {id: bay, wall: front, along: 2 to 6 ft, height: 3 to 7}
      - {id: attic, wall: left, along: 2 to 6, height: 7 to 8}
  - {id: barn, at: [60, 10], front: {faces: 200, width: 20}, depth: 12, height: 10, neighbour: next}
  - {id: stable, outline: [[90, 10], [110, 10], [110, 30]], names: [lane, long, yard-wall], height: 9}
boundary: {front: 30, right: 12, back: 40, left: 6}
beyond: {front: public way, others: neighbour}
neighbours: [{id: next, side: right}]
materials: {chalk: {reflectance: {850: 0.7}, source: a card}}
objects:
  - {id: drain, kind: downpipe, wall: front, along: 30}
  - {id: wheelie, kind: bin, at: [4, -8]}
  - {id: palings, kind: fence, points: [[0, -30], [20, -30], [36, -28 ft 6 in]]}
areas:
  - {id: yard, for: observe, points: [[10, -3], [30, -3], [30, -20], [10, -20]]}
  - {id: step, for: identify, wall: front, along: 3 to 5, out: 1}
lamps: [{id: porch, wall: front, along: 10, height: 7, lumens: 600, kind: white LED, lit: dusk}]
types: {eye: {shape: turret, view: 84, infrared: 65 ft}}
cameras:
  - id: corner
    type: eye
    mount: {wall: front, along: 34, height: 8 ft 6 in, arm: 4 in}
    aim: yard
    watches: [yard, step]
    masks: [{id: lane, set: in-camera, box: {x: 0 to 0.2, y: 0 to 0.3}}]
    cable: {to: switch, length: 60, sits: eave, route: [{wall: front, along: 34, height: 8}, {at: [36, -1], height: 0}]}
  - {id: pole, mount: {at: [40, -25], to: pole, height: 3 m}, aim: {bearing: 290, tilt: 12}, infrared: {range: 20}}
deviations: [{code: VIEW-02, at: camera/corner, reason: agreed, agreed: the owner, until: 2090-01-01}]
"""


@pytest.fixture(autouse=True)
def _no_remedies(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only the plan's model is looked at here."""
    monkeypatch.setattr(review, "TRIALS", 0)


def _data(text: str = PLAN) -> dict[str, Any]:
    document = kit.look(text).loaded.document
    assert document is not None
    return dict(document.data)


def _plan(data: Mapping[str, Any]) -> Plan:
    loaded = kit.look(transforms.text(data)).loaded
    assert loaded.plan is not None, loaded.faults
    return loaded.plan


# -------------------------------------------------------------------------- the schema


def _described(node: Any, schema: Mapping[str, Any], path: transforms.Path = ()) -> Iterator[tuple[Any, Any]]:
    """Every key of a plan with what the schema says of it, references followed."""
    merged = dict(node)
    if "$ref" in node:
        merged = {**schema["$defs"][node["$ref"].rpartition("/")[2]], **node}
    if path:
        yield path, merged
    for key, inner in merged.get("properties", {}).items():
        yield from _described(inner, schema, (*path, key))
    for key in ("items", "additionalProperties"):
        if isinstance(merged.get(key), dict):
            yield from _described(merged[key], schema, path)


def _said(key: str, value: Any) -> set[transforms.Path]:
    """The paths of which the schema says this."""
    schema = kit.schemas().whole()
    return {path for path, node in _described(schema, schema) if node.get(key) == value}


def test_every_length_of_the_language_is_known_and_nothing_else() -> None:
    lengths = {path for path in _said("unit", "m") if "settings" not in path}
    assert len(lengths) > 60
    for path in lengths:
        assert transforms.is_length(path) or transforms.is_point(path, [1, 2]), path
    assert {path[-1] for path in lengths} - {*transforms.SIDES, *transforms.POINTS} == transforms.LENGTHS


def test_every_angle_is_a_bearing_that_stays_or_turns_with_nothing() -> None:
    """A new key in degrees has to be thought of in ``turned``."""
    bearings = {"faces", "bearing", "bearings", "plus-y", "turned"}
    others = {"tilt", "view", "across", "down", "beam", "place", "up", "bends", "sway"}
    assert {path[-1] for path in _said("unit", "deg") if "settings" not in path} == bearings | others


def test_every_list_has_an_order_that_means_something_or_is_listed_as_loose() -> None:
    ordered = {"outline", "names", "edges", "points", "at", "place", "walls", "route", "wires"}
    keys = {path[-1] for path in _said("type", "array") if "settings" not in path}
    assert keys - ordered == transforms.LOOSE


def test_every_key_that_names_a_thing_is_known() -> None:
    keys = {path[-1] for path in _said("$ref", "#/$defs/id") if "settings" not in path}
    assert keys - {"type"} <= transforms.USES
    assert {path[-1] for path in _said("$ref", "#/$defs/id-surface")} <= {"surface", "surfaces"}


# --------------------------------------------------------------------------- the model


def _leaves(value: Any) -> Iterator[Any]:
    """Every plain value of a model, in order."""
    if isinstance(value, Struct):
        for field in value.__struct_fields__:
            if field not in ("units", "assumed"):
                yield from _leaves(getattr(value, field))
    elif isinstance(value, Mapping):
        for key in sorted(value):
            yield key
            yield from _leaves(value[key])
    elif isinstance(value, tuple):
        for one in value:
            yield from _leaves(one)
    else:
        yield value


def _places(plan: Plan) -> list[tuple[float, float]]:
    spots = [*(o.spot for o in plan.objects), *(s.spot for s in plan.lamps), *(c.mount.spot for c in plan.cameras)]
    spots += [end for cable in plan.cables for leg in cable.legs or () for end in (leg.a, leg.b)]
    outlines = [*(b.outline for b in plan.buildings), *(a.outline for a in plan.areas), *(s.outline for s in plan.land)]
    return [*((s.x, s.y) for s in spots), *(corner for outline in outlines for corner in outline)]


def test_moved_is_moved_by_as_much_everywhere() -> None:
    before, after = _plan(_data()), _plan(transforms.moved(_data(), 240.0, -180.0))
    assert _places(after) == [pytest.approx((x + 240.0, y - 180.0), abs=1e-9) for x, y in _places(before)]
    assert [c.aim.bearing for c in after.cameras] == pytest.approx([c.aim.bearing for c in before.cameras])
    assert after.site == before.site


def test_turned_goes_round_everywhere_and_keeps_every_bearing() -> None:
    before, after = _plan(_data()), _plan(transforms.turned(_data(), 37.0))
    c, s = math.cos(math.radians(37.0)), math.sin(math.radians(37.0))
    assert _places(after) == [pytest.approx((c * x - s * y, s * x + c * y), abs=1e-9) for x, y in _places(before)]
    assert [one.aim.bearing for one in after.cameras] == pytest.approx([one.aim.bearing for one in before.cameras])
    assert [o.yaw for o in after.objects] == pytest.approx([(o.yaw + 37.0) % 360.0 for o in before.objects])
    assert after.site.plus_y == before.site.plus_y + 37.0


def test_other_units_and_feet_and_inches_are_the_same_model() -> None:
    written = _plan(_data())
    for way in (transforms.other_units, transforms.feet_and_inches):
        other = _plan(way(_data()))
        for was, now in zip(_leaves(written), _leaves(other), strict=True):
            assert now == (pytest.approx(was, rel=1e-9, abs=1e-10) if isinstance(was, float) else was)
    assert _plan(transforms.other_units(_data())).units == "metres"
    bare = [path for path, value in _plain(transforms.feet_and_inches(_data())) if isinstance(value, int | float)]
    assert not [path for path in bare if transforms.is_length(path)]


def _plain(data: Any) -> list[tuple[transforms.Path, Any]]:
    found: list[tuple[transforms.Path, Any]] = []
    transforms.each(data, lambda path, value: found.append((path, value)))
    return found


def test_renamed_leaves_no_old_name_and_is_undone_by_its_opposite() -> None:
    written, other = _plan(_data()), _plan(transforms.renamed(_data()))
    given = {"home", "barn", "next", "chalk", "drain", "palings", "yard", "porch", "eye", "corner", "lane", "stable"}
    assert not given & set(_leaves(other))
    undone = [transforms.original(leaf) if isinstance(leaf, str) else leaf for leaf in _leaves(other)]
    assert sorted(map(str, undone)) == sorted(map(str, _leaves(written)))
    listed = [transforms.original(name) for name in sorted(thing.id for thing in other.objects)]
    assert listed == ["wheelie", "palings", "palings~2", "drain"]


def test_reordered_is_another_order_of_the_same() -> None:
    written, other = _plan(_data()), _plan(transforms.reordered(_data()))
    assert [c.id for c in other.cameras] == [c.id for c in written.cameras][::-1]
    assert [b.id for b in other.buildings] == ["home", "stable", "barn"], "the first building is meant"
    assert sorted(map(str, _leaves(other))) == sorted(map(str, _leaves(written)))
    assert transforms.reordered(transforms.reordered(_data())) == _data()


def test_transforms_leave_what_they_are_given_alone() -> None:
    data, again = _data(site(6)), _data(site(6))
    transforms.moved(data, 1.0, 2.0)
    transforms.turned(data, 90.0)
    transforms.renamed(data)
    transforms.reordered(data)
    transforms.other_units(data)
    assert data == again
