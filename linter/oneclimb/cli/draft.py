"""The plan that ``oneclimb new`` writes: short, commented, with what is still open left to fill in."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

from oneclimb.cli.answers import WALLS, Spotted, sides

_NUMBER = r"[0-9]+(\.[0-9]+)?"
_WORDS = re.compile(r"[A-Za-z\u00c0-\u1fff][\w.'-]*( [\w.'-]+)*")
_QUANTITY = re.compile(rf"{_NUMBER}( ?(mm|cm|m|ft|in|deg|%))?|[0-9]+ ft {_NUMBER} in")
_TAKEN = frozenset({"true", "false", "null", "yes", "no", "on", "off", "y", "n"})


def draft(given: Mapping[str, str], cameras: Sequence[Spotted]) -> str:
    """The plan's text."""
    areas = _areas(cameras)
    view, infrared = _scalar(given["view"]), _scalar(given["infrared"])
    return "\n".join(
        [
            f"# {given['name'] or 'A camera install'}, as planned. `oneclimb check` says what will go wrong with it.",
            "# along: from a wall's left end as you stand outside facing it; out: straight out from the wall.",
            f"units: {given['units']}",
            *_site(given),
            "house:",
            f"  front: {{faces: {_scalar(given['faces'])}, width: {_scalar(given['width'])}}}",
            f"  depth: {_scalar(given['depth'])}",
            _top(given),
            "  # surface: white render       # what the walls are: it decides how much light they return",
            _boundary(given["boundary"]),
            "beyond: {front: public way, others: neighbour}   # change it where this isn't so",
            "# objects:                      # what stands near a camera or in its view",
            "#   - {id: downpipe, kind: downpipe, wall: front, along: 0.5 m}",
            "#   - {id: car, kind: car, wall: front, along: 4 m, out: 5 m, there: sometimes}",
            "areas:                          # for: detect, observe, recognise, identify or avoid",
            *(f"  - {area}" for area in areas.values()),
            "# lamps:",
            "#   - {id: porch, wall: front, along: 5 m, height: 2.1 m, lumens: 800, kind: white LED, lit: motion}",
            "types:",
            f"  camera: {{pixels: {given['pixels']}, view: {view}, infrared: {infrared}}}",
            "cameras:",
            *(line for number, one in enumerate(cameras) for line in _camera(number, one, cameras)),
            "",
        ]
    )


def _site(given: Mapping[str, str]) -> list[str]:
    as_text = {"name": _text, "country": _text, "coast": _scalar}
    known = [f"{key}: {written(given[key])}" for key, written in as_text.items() if given[key]]
    asked = {
        "country": "# country: England            # in site: whose law and code",
        "coast": "# coast: 400 m                # in site: how far off salt water is",
    }
    line = [f"site: {{{', '.join(known)}}}"] if known else []
    return line + [text for key, text in asked.items() if not given[key]]


def _top(given: Mapping[str, str]) -> str:
    height, depth = _scalar(given["eave-height"]), _scalar(given["eave-depth"])
    stands_out = re.search("[1-9]", depth)
    return f"  eave: {{height: {height}, depth: {depth}}}" if stands_out else f"  height: {height}"


def _boundary(text: str) -> str:
    paced = ", ".join(f"{wall}: {_scalar(part)}" for wall, part in zip(WALLS, sides(text), strict=True))
    return f"boundary: {{{paced}}}   # from each wall"


def _areas(cameras: Sequence[Spotted]) -> dict[str, str]:
    """One area a thing shown; two cameras that show the same place share it."""
    written: dict[str, str] = {}
    for number, one in enumerate(cameras):
        name = _area(number, cameras)
        place = f"wall: {one.wall}, along: {_scalar(one.shows_along)}, out: {_scalar(one.shows_out)}"
        written[name] = f"{{id: {name}, for: recognise, {place}}}"
    return written


def _area(number: int, cameras: Sequence[Spotted]) -> str:
    """The id of what a camera shows: numbered where the word stands for another place already."""
    one = cameras[number]
    places = list(dict.fromkeys(_place(c) for c in cameras if c.shows == one.shows))
    at = places.index(_place(one))
    return one.shows if not at else f"{one.shows}-{at + 1}"


def _place(one: Spotted) -> tuple[str, str, str]:
    return one.wall, one.shows_along, one.shows_out


def _camera(number: int, one: Spotted, cameras: Sequence[Spotted]) -> list[str]:
    before = sum(other.shows == one.shows for other in cameras[:number])
    return [
        f"  - id: {one.shows}-cam{f'-{before + 1}' if before else ''}",
        "    type: camera",
        f"    mount: {{wall: {one.wall}, along: {_scalar(one.along)}, height: {_scalar(one.height)}}}",
        f"    aim: {_area(number, cameras)}",
        "    # records: motion           # or continuous, schedule, none",
        "    # cable: {to: switch, sits: eave, seal: gland}   # seal: none, gland, shell, gel, boot, tape",
    ]


def _scalar(quantity: str) -> str:
    """A quantity as it was given: plain where YAML reads it back unchanged, otherwise in double quotes."""
    return quantity if _QUANTITY.fullmatch(quantity) else json.dumps(quantity, ensure_ascii=False)


def _text(words: str) -> str:
    """Words that stay words: plain where YAML can't take them for anything else, otherwise in double quotes."""
    plain = _WORDS.fullmatch(words) and words.lower() not in _TAKEN
    return words if plain else json.dumps(words, ensure_ascii=False)
