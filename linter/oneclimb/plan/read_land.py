"""Reading the boundary and what lies past it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here, nearest
from oneclimb.plan.model import Agreed, Land, Vec2
from oneclimb.plan.outline import anticlockwise, crosses
from oneclimb.plan.read_buildings import SIDES
from oneclimb.plan.units import quantity
from oneclimb.plan.where import direction

STRIP = 30.0
"""m: how deep the land past each side of the boundary is taken to be (estimate: past it a person is
smaller than *monitor* to an ordinary wide camera)"""

Side = tuple[str, Vec2, Vec2]


def read_boundary(c: Context, data: Mapping[str, Any]) -> tuple[Side, ...]:
    """The boundary's sides in order, anticlockwise: name, first corner, second corner."""
    if "boundary" not in data:
        return ()
    c.paths["land", "boundary"] = ("boundary",)
    here = Here(c, data["boundary"], ("boundary",), ("site", "site"), "boundary.")
    sides = here.tried("", lambda: _outline(here) if here.has("outline") else _paced(here))
    return sides or ()


def _paced(here: Here) -> tuple[Side, ...]:
    """Paced out from the sides of the first building, as the walls of the box round it lie."""
    missing = [side for side in SIDES if not here.has(side)]
    if missing:
        raise UnreadableError(
            "PLAN-12", f"how far the boundary lies from the {missing[0]} is missing", "0 if it is the wall itself"
        )
    house = here.c.building(None)
    wall = house.walls[0]
    (ux, uy), (nx, ny) = direction(wall), wall.normal
    us = [(x * ux + y * uy) for x, y in house.outline]
    ns = [(x * nx + y * ny) for x, y in house.outline]
    paces = {side: quantity(here.data[side], "length", here.c.units) for side in SIDES}
    left, right = min(us) - paces["left"], max(us) + paces["right"]
    front, back = max(ns) + paces["front"], min(ns) - paces["back"]
    corners = tuple(
        (u * ux + n * nx, u * uy + n * ny) for u, n in ((left, front), (right, front), (right, back), (left, back))
    )
    return tuple(zip(SIDES, corners, (*corners[1:], corners[0]), strict=True))


def _outline(here: Here) -> tuple[Side, ...]:
    listed = here.points("outline")
    if listed is None:
        return ()
    if crosses(listed):
        raise UnreadableError("PLAN-25", "the boundary crosses itself, or encloses nothing")
    names = tuple(here.data.get("edges", (f"edge-{i + 1}" for i in range(len(listed)))))
    if len(names) != len(listed) or len(set(names)) != len(names):
        raise UnreadableError("PLAN-16", f"{len(set(names))} names for {len(listed)} edges")
    corners = anticlockwise(listed)
    if corners != listed:
        names = (*names[-2::-1], names[-1])
    return tuple(zip(names, corners, (*corners[1:], corners[0]), strict=True))


def read_land(c: Context, data: Mapping[str, Any], sides: tuple[Side, ...]) -> tuple[Land, ...]:
    """A strip past each side that the plan says something of, and the neighbours named."""
    strips = {name: outline for (name, _, _), outline in zip(sides, _strips(sides), strict=True)}
    named = [_neighbour(c, entry, i, strips) for i, entry in enumerate(data.get("neighbours", ()))]
    taken = {entry.get("side") for entry in data.get("neighbours", ())}
    own = data.get("beyond", {})
    land = [
        _strip(c, name, "others" if name not in own else name, kind, strips)
        for name, kind in _beyond(c, data, strips).items()
        if name not in taken
    ]
    listed = tuple(one for one in (*land, *named) if one)
    seen: set[str] = set()
    for one in listed:
        if one.id in seen:
            Here(c, {}, c.paths["land", one.id], ("land", one.id)).fault(
                "id", "PLAN-18", f"another piece of land is already called `{one.id}`"
            )
        seen.add(one.id)
    return listed


def _beyond(c: Context, data: Mapping[str, Any], strips: Mapping[str, Any]) -> dict[str, str]:
    """What lies past each side: the side's own word, or ``others``."""
    written = data.get("beyond", {})
    here = Here(c, written, ("beyond",), ("site", "site"), "beyond.")
    if written and not strips:
        if "boundary" not in data:
            here.fault(
                "", "PLAN-33", "`beyond` needs a `boundary` to be past of", "write how far it lies from each wall"
            )
        return {}
    for name in written:
        if name not in strips and name != "others":
            here.fault(name, "PLAN-19", f"the boundary has no side `{name}`", nearest(name, strips), at_key=True)
    default = written.get("others")
    return {name: kind for name in strips if (kind := written.get(name, default))}


def _strip(c: Context, name: str, key: str, kind: str, strips: Mapping[str, tuple[Vec2, ...]]) -> Land:
    c.paths["land", f"beyond-{name}"] = ("beyond", key)
    return Land(f"beyond-{name}", "public-way" if kind == "public way" else "neighbour", strips[name])


def _neighbour(c: Context, entry: Mapping[str, Any], i: int, strips: Mapping[str, tuple[Vec2, ...]]) -> Land | None:
    here = Here(c, entry, ("neighbours", i), ("land", entry["id"]))
    c.paths.setdefault(("land", entry["id"]), here.path)
    outline = None
    if here.has("side") == here.has("outline"):
        here.fault("", "PLAN-21", "a neighbour has a `side` of the boundary or an `outline`: one of the two")
    elif here.has("outline"):
        points = here.points("outline")
        if points and crosses(points):
            here.fault("outline", "PLAN-25", "the outline crosses itself, or encloses nothing")
        elif points:
            outline = anticlockwise(points)
    elif entry["side"] in strips:
        outline = strips[entry["side"]]
    else:
        here.fault("side", "PLAN-19", f"the boundary has no side `{entry['side']}`", nearest(entry["side"], strips))
    kind = here.word("kind", "neighbour")
    agrees = _agreed(here.at("agrees")) if here.has("agrees") else None
    frontage = here.flag("frontage", "not open to the street")
    if outline is None:
        return None
    return Land(entry["id"], "public-way" if kind == "public way" else "neighbour", outline, agrees, frontage)


def _agreed(here: Here) -> Agreed:
    return Agreed(here.data["who"], here.date("when") or "", here.data.get("what", ""))


def _strips(sides: tuple[Side, ...]) -> list[tuple[Vec2, ...]]:
    """The ground past each side, as deep as ``STRIP``, corners mitred so that strips neither overlap nor gap.

    Corners run anticlockwise.
    """
    mitres = [_mitre(sides[i - 1], sides[i]) for i in range(len(sides))]
    out: list[tuple[Vec2, ...]] = []
    for i, (_, a, b) in enumerate(sides):
        ma, mb = mitres[i], mitres[(i + 1) % len(sides)]
        out.append((b, a, (a[0] + ma[0], a[1] + ma[1]), (b[0] + mb[0], b[1] + mb[1])))
    return out


def _mitre(before: Side, after: Side) -> Vec2:
    """From the corner between two sides to the corner between their strips."""
    n1, n2 = _normal(before), _normal(after)
    sharp = max(1.0 + n1[0] * n2[0] + n1[1] * n2[1], 0.25)
    return (STRIP * (n1[0] + n2[0]) / sharp, STRIP * (n1[1] + n2[1]) / sharp)


def _normal(side: Side) -> Vec2:
    (_, (xa, ya), (xb, yb)) = side
    length = ((xb - xa) ** 2 + (yb - ya) ** 2) ** 0.5
    return ((yb - ya) / length, -(xb - xa) / length)
