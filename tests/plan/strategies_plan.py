"""Hypothesis strategies: valid plans as data and as text, and ways to spoil a text."""

from __future__ import annotations

import random
from typing import Any

import yaml
from hypothesis import strategies as st

from plan.strategies_base import lengths, number, optional, ranges
from plan.strategies_cable import BODY, boxes, cable_keys, conduits, joint_keys
from plan.strategies_gear import ADDRESS, KEPT, POWER, SITE, gear

WALLS = {"front": 12.0, "right": 8.0, "back": 12.0, "left": 8.0}
TASKS = ["monitor", "detect", "observe", "recognise", "identify", "inspect", "avoid"]


@st.composite
def walls(draw: st.DrawFn, out: float = 0.0) -> dict[str, Any]:
    """A place by a wall; ``out`` is the farthest."""
    wall = draw(st.sampled_from(sorted(WALLS)))
    place: dict[str, Any] = {"wall": wall}
    if draw(st.booleans()):
        place["along"] = draw(lengths(0.3, WALLS[wall] - 0.3))
    if out and draw(st.booleans()):
        place["out"] = draw(lengths(0.3, out))
    return place


@st.composite
def objects(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """An object well below any camera, or outside the house."""
    kind = draw(
        st.sampled_from(
            ["downpipe", "post", "car", "bin", "steps", "fence", "gutter", "tree", "box", "sign", "road-sign"]
        )
    )
    entry: dict[str, Any] = {"id": name, "kind": kind}
    if kind == "fence":
        entry |= {"wall": "front", "along": draw(ranges(0, 12)), "out": draw(number(6, 9))}
    elif kind == "gutter":
        entry |= {"wall": "back", "along": draw(ranges(0, 12)), "height": 2.6}
    elif kind in ("downpipe", "sign"):
        entry |= {"wall": draw(st.sampled_from(sorted(WALLS))), "along": 0.2}
    else:
        entry |= {"at": [draw(number(20, 40)), draw(number(-40, 40))]}
    if kind == "box":
        entry |= {"wide": 1, "deep": "50 cm", "tall": draw(lengths(0.5, 2))}
    more = optional(
        surface=st.sampled_from(["white plastic", "matt black paint", "red brick"]),
        there=st.sampled_from(["always", "sometimes"]),
        grows=lengths(0.0, 0.5),
    )
    return {**entry, **draw(more)}


def windows() -> st.SearchStrategy[dict[str, Any]]:
    """A window of the back wall."""
    place = {"id": st.just("pane"), "wall": st.just("back"), "along": ranges(0, 12), "height": st.just("1 to 2.1")}
    rooms = st.sampled_from(["bedroom", "bathroom", "other"])
    return st.fixed_dictionaries(place, optional={"room": rooms, "curtain": st.sampled_from(["drawn", "none"])})


@st.composite
def areas(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """A spot, a line or a box in front of a wall."""
    entry: dict[str, Any] = {"id": name, "for": draw(st.sampled_from(TASKS)), "wall": "front"}
    along = draw(st.one_of(lengths(1, 11), ranges(0, 12)))
    out = draw(st.one_of(lengths(2, 9), ranges(1, 9)))
    more = draw(optional(height=lengths(0, 2), when=st.sampled_from(["day", "night", "both"]), pace=st.just("1.4 m/s")))
    if entry["for"] == "avoid":
        more |= draw(optional(private=st.booleans()))
    return {**entry, "along": along, "out": out, **more}


@st.composite
def lamps(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """A lamp on a wall."""
    more = optional(
        height=lengths(1.5, 3),
        lumens=st.sampled_from([800, "800 lm", 1200.5]),
        kind=st.sampled_from(["white LED", "halogen", "sodium"]),
        lit=st.sampled_from(["always", "dusk", "motion", "switched"]),
        beam=st.sampled_from([60, "60 deg"]),
        shade=st.booleans(),
    )
    return {"id": name, **draw(walls()), **draw(more)}


SHARED: dict[str, st.SearchStrategy[Any]] = {
    "shape": st.sampled_from(["turret", "dome", "bullet", "box", "doorbell"]),
    "view": st.sampled_from([100, "85 deg", {"across": 103, "down": "58 deg"}]),
    "pixels": st.sampled_from(["2560 x 1440", "1920x1080"]),
    "night": st.sampled_from(["infrared", "white", "both", "none"]),
    "infrared": st.sampled_from(["30 m", 25, {"range": 30, "wavelength": "940 nm", "dims": True}, {"beam": "lens"}]),
    "white": st.sampled_from([{"lumens": 300}, {"beam": 80}]),
    "metering": st.sampled_from(["frame", "centre"]),
    "hood": st.booleans(),
    "records": st.sampled_from(["continuous", "motion", "schedule", "none"]),
    "link": st.sampled_from(["cable", "wireless"]),
    "power": st.one_of(st.sampled_from(["7 W", "battery"]), POWER),
    "rated": st.sampled_from([["IP67"], ["IP66", "IK10"], []]),
    "status-light": st.sampled_from(["lit", "dark"]),
    "turned": st.sampled_from([0, "90 deg"]),
    **BODY,
    **KEPT,
}


@st.composite
def cameras(
    draw: st.DrawFn, name: str, targets: list[str], types: list[str], held: dict[str, list[str]]
) -> dict[str, Any]:
    """A camera on a wall, above the eave of nothing and clear of everything."""
    mount = {**draw(walls()), **draw(optional(height=lengths(2.3, 2.6), arm=lengths(0.0, 0.4)))}
    entry: dict[str, Any] = {"id": name, "mount": mount, **draw(optional(**SHARED, address=ADDRESS))}
    if bool(types) and draw(st.booleans()):
        entry["type"] = draw(st.sampled_from(types))
    if bool(targets) and draw(st.booleans()):
        entry["watches"] = draw(st.lists(st.sampled_from(targets), max_size=3, unique=True))
        if mount["wall"] == "front":
            entry["aim"] = draw(st.sampled_from(targets))
    if draw(st.booleans()):
        entry["cable"] = {**draw(cable_keys(held)), **draw(joint_keys(held))}
    return entry


@st.composite
def cables(draw: st.DrawFn, seen: list[str], held: dict[str, list[str]]) -> dict[str, Any]:
    """A cable of the list, with a camera or without, with joints of its own or not."""
    entry: dict[str, Any] = {**draw(cable_keys(held)), **draw(optional(camera=st.sampled_from(seen)))}
    if draw(st.booleans()):
        entry["route"] = [
            {**draw(walls()), **draw(optional(cover=st.just("buried"), depth=lengths(0.1, 1)))},
            draw(walls()),
        ]
    return entry


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    """A whole valid plan, as data."""

    def several(prefix: str, most: int) -> list[str]:
        return [f"{prefix}{i}" for i in range(draw(st.integers(0, most)))]

    plan: dict[str, Any] = {
        "house": {
            "front": {"faces": draw(st.integers(0, 359)), "width": WALLS["front"]},
            "depth": WALLS["right"],
            "windows": draw(st.lists(windows(), max_size=1)),
            **draw(optional(eave=optional(height=lengths(2.7, 3), depth=lengths(0.2, 0.6)), storeys=st.integers(1, 3))),
        }
    }
    if draw(st.booleans()):
        plan["boundary"] = {side: draw(number(0, 20)) for side in WALLS}
        plan["beyond"] = {"front": "public way", **draw(optional(others=st.just("neighbour")))}
    targets = several("area", 3)
    types = several("type", 2)
    plan["objects"] = [draw(objects(name)) for name in several("thing", 4)]
    plan["areas"] = [draw(areas(name)) for name in targets]
    plan["lamps"] = [draw(lamps(name)) for name in several("lamp", 2)]
    plan["types"] = {name: draw(optional(**SHARED)) for name in types}
    held = {"conduit": several("pipe", 1), "box": several("box", 1)}
    plan["conduits"] = [draw(conduits(name)) for name in held["conduit"]]
    plan["boxes"] = [{**draw(boxes(name)), **draw(st.one_of(st.just({}), walls()))} for name in held["box"]]
    seen = [f"cam{i}" for i in range(draw(st.integers(1, 3)))]
    plan["cameras"] = [draw(cameras(name, targets, types, held)) for name in seen]
    plan["cables"] = [{"id": name, **draw(cables(seen, held))} for name in several("run", 2)]
    plan |= draw(gear([lamp["id"] for lamp in plan["lamps"]], seen))
    extra = optional(
        units=st.just("metres"),
        version=st.just(1),
        site=optional(
            name=st.text("abcé ", max_size=8),
            coast=lengths(0, 9000),
            stage=st.sampled_from(["design", "ready"]),
            **SITE,
        ),
    )
    return {**draw(extra), **plan}


class Plain(yaml.SafeDumper):
    """YAML without aliases, as a plan has none."""

    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002 - the library's own signature
        """Write everything out."""
        return True


def written(data: dict[str, Any], *, flow: bool | None = None) -> str:
    """A plan's data as YAML."""
    return yaml.dump(data, Dumper=Plain, default_flow_style=flow, allow_unicode=True, sort_keys=False, width=200)


WORDS = [
    "no", "-1", "0", "1e999", ".inf", ".nan", "~", "[]", "{}", "[[[", "}}", "*a", "&a", "!!str", "'", '"', ": ", "- ",
    "\t", "\x00", "\u2028", "\ufeff", "9" * 50, "-3 m", "3 furlongs", "8 to 2", "2026-02-30", "front", "x" * 70, "true",
    "---\n", "# ", "<<: ", "? ", "|", ">", "%YAML 1.1\n", "\x1b[31m", "é🎥",
]  # fmt: skip


def spoiled(text: str, seed: int) -> str:
    """A text with a few mutations: characters and words put in, taken out, doubled, lines moved."""
    chance = random.Random(seed)  # noqa: S311 - reproducible on purpose
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(text) + 1)
        upto = min(len(text), at + chance.randint(0, 12))
        lines = text.split("\n")
        line = chance.randrange(len(lines))
        text = chance.choice(
            [
                text[:at] + chance.choice(WORDS) + text[at:],
                text[:at] + text[upto:],
                text[:at] + chance.choice(WORDS) + text[upto:],
                text[:at] + text[at:upto] * chance.randint(2, 40) + text[upto:],
                "\n".join([*lines[:line], *lines[line + 1 :]]),
                "\n".join([*lines[:line], lines[line], *lines[line:]]),
                "\n".join([*lines[:line], chance.choice(["", " ", "  "]) + lines[line], *lines[line + 1 :]]),
                text[:at] + chr(chance.randrange(0x110000 - 0x800) % 0xD800) + text[at:],
            ]
        )
    return text


def spoiled_data(data: Any, chance: random.Random) -> Any:
    """Data with one value swapped for something else, a key renamed, or a key left out."""
    junk: list[Any] = [
        None,
        True,
        -1,
        0,
        1e308,
        -1e308,
        10**30,
        "",
        "x",
        [],
        {},
        [[]],
        "8 to 2",
        "nan",
        "no-such",
        "2026-13-01",
        "9" * 60,
    ]
    if isinstance(data, dict) and data and chance.random() < 0.85:
        key = chance.choice(sorted(data))
        roll = chance.random()
        if roll < 0.1:
            return {k: v for k, v in data.items() if k != key}
        if roll < 0.2:
            return {(k + "x" if k == key else k): v for k, v in data.items()}
        return {**data, key: spoiled_data(data[key], chance)}
    if isinstance(data, list) and data and chance.random() < 0.85:
        i = chance.randrange(len(data))
        return [*data[:i], spoiled_data(data[i], chance), *data[i + 1 :], *([data[i]] if chance.random() < 0.1 else [])]
    return chance.choice(junk)
