"""Reading buildings: rectangles, walls in order, outlines; heights, eaves, windows, surfaces."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here, nearest
from oneclimb.plan.limits import passed
from oneclimb.plan.model import Building, Eave, Vec2, Wall, Window
from oneclimb.plan.outline import anticlockwise, crosses
from oneclimb.plan.units import quantity
from oneclimb.plan.where import distance

SIDES = ("front", "right", "back", "left")
_CLOSE = 0.25
"""m: walls may miss their beginning by this much, or by 2 % of the way round"""


def read_buildings(c: Context, data: Mapping[str, Any]) -> tuple[Building, ...]:
    """Every building, the first one first; each is in the context as soon as it is read."""
    if "house" in data and "buildings" in data:
        Here(c, data, (), ("site", "site")).fault(
            "buildings", "PLAN-32", "`house` and `buildings` both list buildings: keep one", at_key=True
        )
    entries: list[tuple[tuple[str | int, ...], Mapping[str, Any]]] = []
    if "house" in data:
        entries.append((("house",), {"id": "house", **data["house"]}))
    entries += [(("buildings", i), entry) for i, entry in enumerate(data.get("buildings", ()))]
    built: list[Building] = []
    for path, entry in entries:
        here = Here(c, entry, path, ("building", entry["id"]))
        c.paths.setdefault(("building", entry["id"]), path)
        building = here.tried("", partial(_building, here))
        if building and building.id in c.buildings:
            here.fault("id", "PLAN-18", f"another building is already called `{building.id}`")
        elif building:
            c.buildings[building.id] = building
            built.append(building)
    return tuple(built)


def _building(here: Here) -> Building:
    ids, corners, base_path = _round(here)
    storeys = here.word("storeys", 1, "one")
    storey_height = here.size("storey-height", 2.6)
    eave = here.at("eave")
    here.absent("eave", "no eave")
    here.absent("windows", "no windows")
    here.absent("neighbour", "one's own")
    eave_height = eave.maybe("height")
    height = here.size("height", eave_height if eave_height is not None else storeys * storey_height)
    walls = _walls(here, ids, corners, base_path)
    return Building(
        id=here.thing[1],
        walls=walls,
        height=height,
        eave=_eave(eave, ids, height) if here.has("eave") else None,
        base=here.size("base", 0.0, taken="level with the site's zero"),
        storeys=storeys,
        storey_height=storey_height,
        flat_roof=here.flag("flat-roof", "not a flat roof to stand on"),
        neighbour=here.word("neighbour"),
    )


def _round(here: Here) -> tuple[tuple[str, ...], tuple[Vec2, ...], str]:
    """Ids of the walls, their left corners in order, and the key that says them."""
    ways = [key for key in ("front", "walls", "outline") if here.has(key)]
    if len(ways) != 1:
        if ways:
            raise UnreadableError("PLAN-32", f"`{'` and `'.join(ways)}` both say the building's shape: keep one")
        raise UnreadableError(
            "PLAN-12", "the building has no shape", "write `front: {faces: 200, width: 11}, depth: 7`, or `outline:`"
        )
    start = here.point("at", here.data["at"]) if here.has("at") else (0.0, 0.0)
    if not here.has("at") and ways[0] != "outline":
        here.note("at", "its front-left corner at 0, 0")
    make = {"front": _rectangle, "walls": _in_order, "outline": _outline}[ways[0]]
    ids, corners = make(here, start)
    if len(set(ids)) < len(ids):
        raise UnreadableError("PLAN-18", f"two walls are called `{next(i for i in ids if ids.count(i) > 1)}`")
    if crosses(corners):
        raise UnreadableError("PLAN-25", "the building's outline crosses itself")
    return ids, corners, ways[0]


def _rectangle(here: Here, start: Vec2) -> tuple[tuple[str, ...], tuple[Vec2, ...]]:
    front = here.at("front")
    width = _length(here, front.data.get("width"), "the front's width")
    depth = _length(here, here.data.get("depth"), "the depth")
    nx, ny = here.c.unit(quantity(front.data["faces"], "angle"))
    (x, y), (ux, uy) = start, (-ny, nx)
    right = (x + ux * width, y + uy * width)
    return SIDES, (start, right, (right[0] - nx * depth, right[1] - ny * depth), (x - nx * depth, y - ny * depth))


def _length(here: Here, value: Any, what: str) -> float:
    if value is None:
        raise UnreadableError("PLAN-12", f"{what} is missing")
    size = quantity(value, "length", here.c.units)
    if size < 0.01:
        raise UnreadableError("PLAN-26", f"{what} is nothing: a wall needs a length")
    return size


def _in_order(here: Here, start: Vec2) -> tuple[tuple[str, ...], tuple[Vec2, ...]]:
    """Walls one after another, anticlockwise; a small gap at the end is spread over all corners."""
    listed = here.data["walls"]
    _bounded(here, len(listed))
    ids, corners, lengths = [], [start], []
    for wall in listed:
        width = _length(here, wall.get("width"), f"the width of wall {wall['id']}")
        nx, ny = here.c.unit(quantity(wall["faces"], "angle"))
        x, y = corners[-1]
        ids.append(wall["id"])
        lengths.append(width)
        corners.append((x - ny * width, y + nx * width))
    gap, girth = distance(corners[-1], start), sum(lengths)
    if gap > max(_CLOSE, 0.02 * girth):
        said = here.c.say.tape(gap)
        raise UnreadableError(
            "PLAN-24",
            f"the walls don't meet: after {ids[-1]} {said} is missing to the beginning of {ids[0]}",
            "list them anticlockwise as seen from above: after the front comes the right-hand wall",
        )
    gx, gy = corners[-1][0] - start[0], corners[-1][1] - start[1]
    done, closed = 0.0, []
    for corner, width in zip(corners, lengths, strict=False):
        closed.append((corner[0] - gx * done / girth, corner[1] - gy * done / girth))
        done += width
    if anticlockwise(tuple(closed)) != tuple(closed):
        raise UnreadableError("PLAN-24", "the walls run clockwise", "list them anticlockwise as seen from above")
    return tuple(ids), tuple(closed)


def _outline(here: Here, _start: Vec2) -> tuple[tuple[str, ...], tuple[Vec2, ...]]:
    """Corners in coordinates. Names go with the sides as listed, whichever way round that is."""
    listed = here.data["outline"]
    _bounded(here, len(listed))
    corners = tuple(here.point("outline", value) for value in listed)
    names = tuple(here.data.get("names", (f"wall-{i + 1}" for i in range(len(corners)))))
    if len(names) != len(corners):
        raise UnreadableError("PLAN-16", f"{len(names)} names for {len(corners)} walls")
    if anticlockwise(corners) != corners:
        corners, names = corners[::-1], (*names[-2::-1], names[-1])
    for name, a, b in zip(names, corners, (*corners[1:], corners[0]), strict=True):
        if distance(a, b) < 0.01:
            raise UnreadableError("PLAN-26", f"{name} has no length: two corners lie in one place")
    return names, corners


def _bounded(here: Here, corners: int) -> None:
    if corners > here.c.limits.corners:
        raise UnreadableError("PLAN-02", passed("corners", f"an outline of more than {here.c.limits.corners} corners"))


def _walls(here: Here, ids: tuple[str, ...], corners: tuple[Vec2, ...], shape: str) -> tuple[Wall, ...]:
    common = here.surface("surface", "light render")
    own = here.at("surfaces")
    build = here.data.get("build")
    windows = _windows(here, ids, corners)
    for key in (*own.data, *(build if isinstance(build, dict) else ())):
        if key not in ids:
            where = "surfaces" if key in own.data else "build"
            here.fault(where, "PLAN-19", f"no wall is called `{key}`", nearest(key, ids))
    walls = []
    for name, a, b in zip(ids, corners, (*corners[1:], corners[0]), strict=True):
        length = distance(a, b)
        normal = ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)
        surface = own.surface(name, common) if own.has(name) else common
        built = build.get(name) if isinstance(build, dict) else build
        walls.append(Wall(name, a, b, normal, surface, windows.get(name, ()), built))
    here.c.paths.update({("wall", f"{here.thing[1]}/{name}"): (*here.path, shape) for name in ids})
    return tuple(walls)


def _windows(here: Here, ids: tuple[str, ...], corners: tuple[Vec2, ...]) -> dict[str, tuple[Window, ...]]:
    found: dict[str, tuple[Window, ...]] = {}
    seen: set[str] = set()
    lengths = {name: distance(a, b) for name, a, b in zip(ids, corners, (*corners[1:], corners[0]), strict=True)}
    for i, entry in enumerate(here.data.get("windows", ())):
        one = Here(here.c, entry, (*here.path, "windows", i), here.thing, f"windows.{entry['id']}.")
        along, height = one.range("along"), one.range("height")
        if entry["id"] in seen:
            one.fault("id", "PLAN-18", f"another window is already called `{entry['id']}`")
        if entry["wall"] not in ids:
            one.fault("wall", "PLAN-19", f"no wall is called `{entry['wall']}`", nearest(entry["wall"], ids))
        elif along and height:
            _fits(one, along, height, lengths[entry["wall"]])
            surface = one.surface("surface", "window glass")
            pane = Window(entry["id"], along, height, surface, one.word("room"), one.word("curtain"))
            found[entry["wall"]] = (*found.get(entry["wall"], ()), pane)
        seen.add(entry["id"])
    return found


def _fits(here: Here, along: Vec2, height: Vec2, length: float) -> None:
    if along[0] < 0 or along[1] > length + 0.01:
        here.fault("along", "PLAN-23", f"the window ends beyond its wall, which is {here.c.say.tape(length)} long")
    for key, (low, high) in (("along", along), ("height", height)):
        if high - low < 0.01:
            here.fault(key, "PLAN-26", "the window has no size: write a range, such as 2 to 3.2")


def _eave(here: Here, ids: tuple[str, ...], height: float) -> Eave | None:
    here.absent("walls", "all walls")
    walls = tuple(here.data.get("walls", ids))
    for name in walls:
        if name not in ids:
            here.fault("walls", "PLAN-19", f"no wall is called `{name}`", nearest(name, ids))
    return Eave(
        height=here.size("height", height),
        depth=here.size("depth", 0.45),
        walls=walls,
        surface=here.surface("surface", "white paint"),
        thickness=here.size("thickness", 0.15),
    )
