"""Where every field comes from: its place, by default, or unknown; and the question that would settle it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.plan.faults import Span
from oneclimb.plan.model import Gauge, Plan
from oneclimb.plan.origins import Origins
from oneclimb.plan.read import Loaded
from oneclimb.plan.read_gear import GEAR
from plan.strategies_plan import plans, written
from plan.written import DATA, read, site

TWO = (DATA / "two-cameras.plan.yaml").read_text(encoding="utf-8")
ODD = (DATA / "odd-site.plan.yaml").read_text(encoding="utf-8")
INHERENT = {
    "turned",
    "id",
    "shape",
    "spot",
    "normal",
    "outline",
    "projection",
    "kind",
    "task",
    "yaw",
    "to",
    "trunk",
    "base",
    "at",
    "type",
    "name",
}
"""fields that other fields make, or that mean nothing where they are empty"""


def loaded(text: str) -> tuple[Plan, Origins]:
    """A plan and its origins."""
    found: Loaded = read(text)
    assert found.plan is not None, found.faults
    assert found.origins is not None
    return found.plan, found.origins


def shown(text: str, span: Span) -> str:
    """What a place of one line holds."""
    assert span.line == span.end_line
    return text.split("\n")[span.line - 1][span.column - 1 : span.end_column - 1]


@pytest.mark.parametrize(
    ("ref", "text"),
    [
        (Ref("camera", "drive-cam"), "id: drive-cam"),
        (Ref("camera", "drive-cam", "mount.along"), "along: 11.2"),
        (Ref("camera", "drive-cam", "mount.out"), "mount: {wall: front, along: 11.2, height: 2.6}"),
        (Ref("camera", "drive-cam", "infrared.range"), "infrared: 30 m"),  # in its type
        (Ref("camera", "drive-cam", "infrared.dims"), "infrared: 30 m"),
        (Ref("camera", "drive-cam", "aim.tilt"), "aim: gate"),
        (Ref("camera", "drive-cam", "records"), "id: drive-cam"),
        (Ref("connector", "drive-cam-plug", "seal"), "seal: gland"),
        (Ref("connector", "back-cam-plug", "seal"), "cable: {to: switch, length: 14}"),
        (Ref("cable", "drive-cam-cable", "length"), "length: 22"),
        (Ref("object", "downpipe", "surface"), "surface: white plastic"),
        (Ref("object", "car", "tall"), "id: car"),
        (Ref("building", "house", "eave.surface"), "eave: {height: 2.7, depth: 0.45}"),
        (Ref("building", "house", "walls.front"), "front: {faces: 200, width: 11.4}"),
        (Ref("land", "beyond-front"), "front: public way"),
        (Ref("land", "beyond-left"), "others: neighbour"),
        (Ref("site", "site", "coast"), "coast: 400 m"),
        (Ref("type", "turret-4mp", "power"), "power: 7 W"),
        (Ref("lamp", "porch", "lumens"), "lumens: 800"),
    ],
)
def test_a_field_is_found_or_the_nearest_thing_written(ref: Ref, text: str) -> None:
    assert shown(TWO, loaded(TWO)[1].span(ref)) == text


@pytest.mark.parametrize(
    ("ref", "text"),
    [
        (Ref("object", "fence~2"), "id: fence"),
        (Ref("building", "home", "walls.left"), "id: left"),
        (Ref("building", "home", "windows.hall"), "id: hall"),
        (Ref("camera", "gable", "masks.hall.set"), "set: in-camera"),
        (Ref("camera", "gable", "lens.focal"), "focal: 4 mm"),
        (Ref("camera", "gable", "infrared.range"), "range: 80 ft"),
        (Ref("camera", "gable", "infrared.wavelength"), "wavelength: 940"),
        (Ref("connector", "tail", "until"), "until: 2026-12-31"),
        (Ref("cable", "run", "route.1.cover"), "cover: buried"),
        (Ref("land", "lane"), "id: lane"),
        (Ref("settings", "GLARE-01", "warning"), "warning: 30 %"),
        (Ref("deviation", "1", "until"), "until: 2026-10-31"),
        (Ref("material", "oak cladding", "reflectance.850"), "850: 0.3 to 0.5"),
        (Ref("model", "model", "glare-inside"), "glare-inside: 0.03"),
    ],
)
def test_entries_of_lists_are_found_by_id_or_number(ref: Ref, text: str) -> None:
    assert shown(ODD, loaded(ODD)[1].span(ref)) == text


FULL = site(
    "types: {t: {entry: {side: below, hole: {falls: outside}}, fixing: {to: brick}}}\n"
    "conduits: [{id: pipe, bore: 20 mm, bends: [90], contents: [{diameter: 6 mm}]}]\n"
    "boxes: [{id: box, wall: back, rated: [IP66]}]\n"
    "cables: [{id: run, gauge: 24 AWG, conduit: pipe,\n"
    "  route: [{at: [0, -1], cover: buried, depth: 0.4}, {at: [9, -1]}]}]",
    "{id: cam, type: t, mount: {wall: front, along: 5, height: 2.6},\n"
    "  behind: {coated: true}, entry: {hole: {sealed: true}},\n"
    "  cable: {clamps: 5 to 8 mm, diameter: 6 mm}}",
)


@pytest.mark.parametrize(
    ("ref", "how", "text", "asks"),
    [
        (Ref("camera", "cam", "fixing.to"), "written", "to: brick", "what is the camera fixed to?"),
        (Ref("camera", "cam", "entry.side"), "written", "side: below", "on which side"),
        (Ref("camera", "cam", "entry.hole.falls"), "written", "falls: outside", "which way does the hole slope"),
        (Ref("camera", "cam", "entry.hole.sealed"), "written", "sealed: true", "is the hole sealed?"),
        (Ref("camera", "cam", "entry.hole.to"), "unknown", "hole: {sealed: true}", "the other end of the hole"),
        (Ref("camera", "cam", "behind.coated"), "written", "coated: true", "has the pane a metal coating?"),
        (Ref("camera", "cam", "behind.room"), "unknown", "behind: {coated: true}", "lit at night?"),
        (Ref("camera", "cam", "sits"), "default", "id: cam", "sits"),
        (Ref("cable", "cam-cable", "diameter"), "written", "diameter: 6 mm", "outer diameter"),
        (Ref("cable", "cam-cable", "kind"), "default", "cable: {clamps: 5 to 8 mm, diameter: 6 mm}", "kind"),
        (Ref("connector", "cam-plug", "clamps"), "written", "clamps: 5 to 8 mm", "does the gland close on?"),
        (Ref("cable", "run", "gauge"), "written", "gauge: 24 AWG", "what gauge"),
        (Ref("cable", "run", "wires"), "unknown", "id: run", "what colours are on pins 1 to 8"),
        (Ref("cable", "run", "route.0.depth"), "written", "depth: 0.4", "how deep is the cable buried?"),
        (Ref("conduit", "pipe", "bends"), "written", "bends: [90]", "what bends has the conduit?"),
        (Ref("conduit", "pipe", "contents.0.diameter"), "written", "diameter: 6 mm", "diameter"),
        (Ref("conduit", "pipe", "contents.0.count"), "default", "{diameter: 6 mm}", "count"),
        (Ref("conduit", "pipe", "runs"), "unknown", "id: pipe", "where does the conduit run"),
        (Ref("box", "box", "height"), "default", "id: box", "height"),
        (Ref("box", "box", "drains"), "unknown", "id: box", "drain out?"),
    ],
)
def test_cables_and_bodies_have_origins_and_questions(ref: Ref, how: str, text: str, asks: str) -> None:
    _, origins = loaded(FULL)
    assert origins.how(ref) == how
    assert shown(FULL, origins.span(ref)) == text
    assert asks in origins.asks(ref)


def test_a_thing_the_plan_does_not_have_still_has_a_place() -> None:
    _, origins = loaded(TWO)
    assert origins.span(Ref("camera", "none", "mount")) == Span(1, 1, 1, 1)
    assert origins.how(Ref("camera", "none", "mount")) == "unknown"


@pytest.mark.parametrize(
    ("ref", "how"),
    [
        (Ref("camera", "drive-cam", "mount.along"), "written"),
        (Ref("camera", "drive-cam", "infrared.range"), "written"),
        (Ref("camera", "drive-cam", "power.watts"), "written"),
        (Ref("camera", "drive-cam", "aim.bearing"), "written"),
        (Ref("camera", "drive-cam", "pixels"), "written"),
        (Ref("camera", "drive-cam", "link"), "default"),
        (Ref("camera", "drive-cam", "infrared.wavelength"), "default"),
        (Ref("camera", "drive-cam", "mount.to"), "default"),
        (Ref("camera", "drive-cam", "behind.gap"), "default"),
        (Ref("camera", "drive-cam", "power.source"), "unknown"),
        (Ref("camera", "drive-cam", "records"), "unknown"),
        (Ref("connector", "back-cam-plug", "seal"), "unknown"),
        (Ref("connector", "drive-cam-plug", "seal"), "written"),
        (Ref("lamp", "porch", "kind"), "unknown"),
        (Ref("site", "site", "temperature"), "unknown"),
        (Ref("site", "site", "stage"), "default"),
        (Ref("object", "car", "tall"), "default"),
    ],
)
def test_a_field_is_written_taken_by_default_or_unknown(ref: Ref, how: str) -> None:
    assert loaded(TWO)[1].how(ref) == how


@pytest.mark.parametrize(
    ("ref", "word"),
    [
        (Ref("connector", "back-cam-plug", "seal"), "what seals the plug?"),
        (Ref("camera", "drive-cam", "infrared.range"), "rated range"),
        (Ref("camera", "drive-cam", "power.source"), "where does the camera's power come from?"),
        (Ref("lamp", "porch", "kind"), "what kind of lamp"),
        (Ref("site", "site", "coast"), "how far is the sea?"),
        (Ref("site", "site", "boundary"), "how far does the property reach"),
        (Ref("cable", "x", "route"), "which way does the cable run"),
        (Ref("camera", "drive-cam", "nonsense.of.mine"), "what is nonsense of mine of drive-cam?"),
    ],
)
def test_a_question_is_in_the_installers_words(ref: Ref, word: str) -> None:
    assert word in loaded(TWO)[1].asks(ref)


def leaves(kind: str, name: str, thing: Any, prefix: str = "") -> Iterator[tuple[Ref, Any]]:
    """Every field of a thing, by the plan's own keys."""
    for field in thing.__struct_fields__:
        if field in INHERENT:
            continue
        key, value = prefix + field.replace("_", "-"), getattr(thing, field)
        if isinstance(value, Struct) and not isinstance(value, Gauge):
            yield from leaves(kind, name, value, f"{key}.")
        else:
            yield Ref(kind, name, key), value


def things(plan: Plan) -> Iterator[tuple[str, Any]]:
    """The things whose every field has an origin."""
    for kind in ("camera", "lamp", "area", "object", "cable", "conduit"):
        yield from ((kind, thing) for thing in getattr(plan, f"{kind}s"))
    yield from (("box", thing) for thing in plan.boxes)
    for key, (kind, _) in GEAR.items():
        yield from ((kind, thing) for thing in getattr(plan, key.replace("-", "_")))


SKIPPED = {("object", key) for key in ("wide", "deep", "tall", "diameter")} | {("lamp", "range"), ("area", "when")}
SKIPPED |= {("cable", key) for key in ("camera", "legs", "connectors")}


def check_origins(plan: Plan, origins: Origins) -> int:
    """Nothing is silent: what is None is unknown and has its question, the rest is written or assumed."""
    seen = 0
    for kind, thing in things(plan):
        if "~" in thing.id:
            continue
        for ref, value in leaves(kind, thing.id, thing):
            how = origins.how(ref)
            seen += 1
            if value is None and how == "unknown":
                assert origins.asks(ref).endswith("?"), ref
            elif value not in (None, "", ()) and (kind, ref.field) not in SKIPPED:
                assert how != "unknown", (ref, value)
    return seen


def test_every_field_of_the_example_plans_has_an_origin() -> None:
    assert check_origins(*loaded(TWO)) + check_origins(*loaded(ODD)) > 200


@settings(max_examples=60, deadline=None)
@given(plans(), st.sampled_from([None, True]))
def test_every_field_of_any_plan_has_an_origin_and_a_place(data: dict[str, Any], flow: bool | None) -> None:
    text = written(data, flow=flow)
    plan, origins = loaded(text)
    assert check_origins(plan, origins) > 0
    for kind, thing in things(plan):
        for ref, _ in leaves(kind, thing.id, thing):
            span = origins.span(ref)
            assert (1, 1) <= (span.line, span.column) < (span.end_line, span.end_column)


def test_a_default_is_listed_once_for_all_things_that_take_it() -> None:
    plan, _ = loaded(TWO)
    taken = {(one.kind, one.field): (one.taken, one.ids) for one in plan.assumed}
    assert taken["camera", "metering"] == ("frame", ("drive-cam", "back-cam"))
    assert taken["object", "diameter"] == ("80 mm", ("downpipe",))
    assert ("site", "units") not in taken
    assert {(one.kind, one.field) for one in loaded(site())[0].assumed} >= {("site", "units"), ("camera", "pixels")}
    assert all(one.taken for one in plan.assumed)
