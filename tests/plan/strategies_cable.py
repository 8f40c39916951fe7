"""Hypothesis strategies for cables, what they run in, and the bodies of the cameras they go to."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from oneclimb.trade.wire_map import COLOURS
from plan.strategies_base import lengths, optional

BODY: dict[str, st.SearchStrategy[Any]] = {
    "sits": st.sampled_from(["outdoors", "indoors"]),
    "room": st.sampled_from(["bedroom", "other"]),
    "colour": st.sampled_from(["white", "grey", "black"]),
    "size": st.just({"wide": "110 mm", "high": 0.09, "deep": "11 cm"}),
    "operating": st.sampled_from(["-30 to 60 C", "-20 C to 140 F"]),
    "shutter": st.sampled_from(["1/25 s", 0.04, "40 ms"]),
    "switches-at": st.sampled_from(["1 to 3 lx", 2]),
    "microphone": st.booleans(),
    "fixing": optional(
        to=st.sampled_from(["brick", "pole", "render on insulation"]), sway=st.just("0.5 deg"), backed=st.booleans()
    ),
    "entry": optional(
        side=st.sampled_from(["below", "side", "above", "behind"]),
        loop=st.booleans(),
        hole=optional(
            falls=st.sampled_from(["outside", "inside", "level"]),
            sealed=st.booleans(),
            to=st.sampled_from(["room", "cavity", "roof", "outdoors"]),
        ),
    ),
    "behind": optional(
        gap=lengths(0.0, 0.05), coated=st.booleans(), room=st.sampled_from(["lit", "dark"]), curtain=st.booleans()
    ),
}
"""what a camera's body is and how it is fixed"""


def cable_keys(held: dict[str, list[str]]) -> st.SearchStrategy[dict[str, Any]]:
    """What a cable says of itself; ``held``: the ids of the plan's conduits."""
    keys = optional(
        to=st.just("switch"),
        length=lengths(1, 60),
        carries=st.sampled_from(["data", "power", "data+power"]),
        kind=st.sampled_from(["copper", "fibre", "coax"]),
        category=st.sampled_from(["cat5e", "cat6"]),
        gauge=st.sampled_from(["24 AWG", "0.5 mm2", "23AWG"]),
        stranded=st.booleans(),
        cords=lengths(0, 5),
        diameter=lengths(0.004, 0.01),
        suits=st.lists(st.sampled_from(["sun", "wet", "burial"]), unique=True),
        made=st.sampled_from(["self", "factory"]),
        wires=st.lists(st.permutations(COLOURS), min_size=2, max_size=2),
        pins=st.permutations("12345678").map(lambda far: " ".join(f"{i}-{pin}" for i, pin in enumerate(far, 1))),
        tested=st.booleans(),
        mains=lengths(0, 0.5),
        surge=st.sampled_from(["both", "one", "none"]),
        through=st.just(["fire wall"]),
        bend=lengths(0.01, 0.1),
    )
    more = optional(**{"fire-stopped": st.booleans(), **_one_of("conduit", held)})
    return st.builds(lambda a, b: {**a, **b}, keys, more)


def joint_keys(held: dict[str, list[str]]) -> st.SearchStrategy[dict[str, Any]]:
    """What a plug says of itself; ``held``: the ids of the plan's boxes."""
    return optional(
        seal=st.sampled_from(["none", "gland", "tape"]),
        sits=st.sampled_from(["open", "eave", "box"]),
        until=st.dates().map(lambda day: day.isoformat()),
        clamps=st.sampled_from(["5 to 8 mm", "4 mm to 7 mm"]),
        **_one_of("box", held),
    )


def _one_of(kind: str, held: dict[str, list[str]]) -> dict[str, st.SearchStrategy[Any]]:
    return {kind: st.sampled_from(held[kind])} if held[kind] else {}


def conduits(name: str) -> st.SearchStrategy[dict[str, Any]]:
    """A conduit."""
    content = st.fixed_dictionaries(
        {"diameter": lengths(0.004, 0.02)},
        optional={"count": st.integers(1, 9), "carries": st.sampled_from(["data", "mains"])},
    )
    keys = optional(
        bore=lengths(0.016, 0.1),
        length=lengths(1, 60),
        bends=st.lists(st.sampled_from([90, "45 deg"]), max_size=4),
        runs=st.sampled_from(["open", "buried", "wall", "indoors"]),
        depth=lengths(0.1, 1),
        contents=st.lists(content, max_size=2),
        drained=st.booleans(),
        sealed=st.booleans(),
        joins=st.lists(st.sampled_from(["room", "outdoors", "ground"]), max_size=2),
    )
    return keys.map(lambda more: {"id": name, **more})


def boxes(name: str) -> st.SearchStrategy[dict[str, Any]]:
    """A box, its place aside."""
    keys = optional(rated=st.just(["IP66"]), sits=st.sampled_from(["eave", "open"]), drains=st.booleans())
    return keys.map(lambda more: {"id": name, **more})
