"""POWER-05: a supply or injector that does not belong where it is, or to what it feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import LEVELS, Figure, Info, Level, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import LOAD
from oneclimb.trade import low_voltage, ratings
from oneclimb_rules.asks import unsaid
from oneclimb_rules.checklist import COUNTED

if TYPE_CHECKING:
    from oneclimb.api import Limits, Query, Trial
    from oneclimb.plan.model import Camera, Injector, Site, Supply

WEATHER: dict[str, tuple[str, Level]] = {
    "open": ("in the open", "error"),
    "eave": ("under an eave", "error"),
    "soffit": ("in a soffit", "warning"),
    "cavity": ("in a wall cavity", "warning"),
}
SPLASHED = 4
"""second numeral of the least rating for a plug-in supply in the weather: splashing water (common practice: IP44)"""
MUCH = 1.2
"""times the rated volts past which a device is likely ruined (estimate)"""
FULL, SPARE = 1.0, 0.8
"""shares of a supply's watts: all of it, and what is left to spare (common practice: a fifth)"""
ELECTRICIAN = Remedy(
    "where no dry socket is near, ask a licensed electrician for an outdoor socket with a residual-current device"
)
MAINS = (
    "Leave mains plugs, sockets and wiring outdoors to a licensed electrician; do not open a supply, and do not "
    "touch a wet one: switch its circuit off first."
)


class SupplySettings(Settings, frozen=True):
    """The limits of a checklist's figure."""

    limits: Limits = COUNTED


class Line(Struct, frozen=True):
    """One line held against the plan: where, what it is about, how bad (None: as it should be), the words, what to do;
    ``mains`` where a caution is owed.
    """

    at: Ref
    key: str
    level: Level | None
    text: str = ""
    remedies: tuple[Remedy, ...] = ()
    mains: bool = False
    related: tuple[Related, ...] = ()


class MisplacedSupply(Rule["Site"]):
    """Supplies and injectors against their place, their socket's protection, and what they feed."""

    info = Info(
        code="POWER-05",
        title="supply in the wrong place, or for other gear",
        sources=(
            "IEC 60529, as restated in print: splashing water is second numeral 4",
            "common practice (an indoor adapter stays indoors; sockets outdoors have a residual-current device; AC "
            "does not go into DC gear; a fifth of the watts to spare)",
        ),
        page="misplaced_supply.md",
        safety=True,
    )
    subject: ClassVar[str] = "site"
    settings = SupplySettings

    def measure(self, subject: Site, q: Query, settings: SupplySettings) -> Iterable[Reading | Unknown]:
        """A reading a line that applies: 0 as it should be, else 1, 2 or 3 by how bad it is."""
        del subject, settings
        for line in _lines(q):
            if isinstance(line, Unknown):
                yield line
                continue
            weight = 1.0 + LEVELS.index(line.level) if line.level else 0.0
            yield Reading(
                Figure("against the checklist", weight, "of 3"), line.at, line.key, line.related, {"line": line}
            )

    def tell(self, reading: Reading, q: Trial, settings: SupplySettings) -> Told:
        """What is declared, and what to do."""
        del q, settings
        line: Line = reading.facts["line"]
        return Told(f"{line.text} (declared by the plan)", line.remedies, MAINS if line.mains else "", bare=True)


def _lines(q: Query) -> Iterator[Line | Unknown]:
    supplied = q.of(LOAD, q.plan.site).supplied
    for supply in q.all("supply"):
        yield from _placed(supply, q)
        for camera in supplied.get(supply.id, ()):
            yield from _current(supply, camera, q)
            yield from _volts(supply, camera)
        yield from _watts(supply, supplied.get(supply.id, ()))
    for injector in q.all("injector"):
        yield from _injector(injector, q)


def _placed(supply: Supply, q: Query) -> Iterator[Line | Unknown]:
    """Weather and protection; asked only of what they can matter to."""
    if supply.sits is None:
        yield from unsaid(q, supply, "sits")
        return
    at = Ref("supply", supply.id)
    if supply.sits not in WEATHER:
        yield Line(at.at("sits"), "place", None)
        return
    where, level = WEATHER[supply.sits]
    if supply.rated is None:
        yield from unsaid(q, supply, "rated")
    else:
        fit = _splash_proof(supply.rated)
        lacks = f"is rated {', '.join(supply.rated)}" if supply.rated else "has no rating for water"
        text = f"the supply {supply.id} sits {where} and {lacks}: damp reaches its mains side"
        indoors = Remedy("bring it indoors, and lead its low voltage out through a sealed hole")
        yield Line(at.at("sits"), "place", None if fit else level, text, (indoors, ELECTRICIAN), mains=True)
    if supply.protected is None:
        yield from unsaid(q, supply, "protected")
    else:
        text = f"the supply {supply.id} sits {where}, and its socket has no residual-current device (RCD, GFCI)"
        bad: Level | None = None if supply.protected else "error"
        fix = Remedy("have a licensed electrician fit a residual-current device, or bring the supply indoors")
        yield Line(at.at("protected"), "protection", bad, text, (fix,), mains=True)


def _splash_proof(rated: tuple[str, ...]) -> bool:
    """Whether a rating covers splashing water; one that cannot be read covers nothing."""
    try:
        found = ratings.together(map(ratings.parse, rated))
    except ratings.RatingError:
        return False
    return found.water is not None and SPLASHED in found.water


def _current(supply: Supply, camera: Camera, q: Query) -> Iterator[Line | Unknown]:
    """Alternating into direct, and the reverse; the other side is asked where one says AC."""
    gives, takes = supply.current, camera.power.current
    if "AC" not in (gives, takes):
        return
    if gives is None:
        yield from unsaid(q, supply, "current")
    elif takes is None:
        yield from unsaid(q, camera, "power.current")
    else:
        text = f"the supply {supply.id} gives {gives}, and {camera.id} is made for {takes}: it can be ruined at once"
        swap = Remedy(f"feed it from a supply of {takes} with its own volts")
        related = (Related(Ref("camera", camera.id, "power"), f"takes {takes}"),)
        bad: Level | None = None if gives == takes else "error"
        yield Line(Ref("supply", supply.id, "current"), f"current:{camera.id}", bad, text, (swap,), related=related)


def _volts(supply: Supply, camera: Camera) -> Iterator[Line]:
    """The supply's volts against the camera's; drop on the way is another rule's."""
    gives, takes = supply.volts, camera.power.volts
    if gives is None or takes is None or {supply.current, camera.power.current} == {"AC", "DC"}:
        return
    slack = low_voltage.TOLERANCE if camera.power.tolerance is None else camera.power.tolerance
    over, under = gives > takes * (1 + slack), gives < takes * (1 - slack)
    level: Level | None = "error" if gives > takes * MUCH else "warning" if over or under else None
    end = "it can be ruined" if over else "it may not start"
    text = f"the supply {supply.id} gives {gives:g} V, and {camera.id} is made for {takes:g} V: {end}"
    related = (Related(Ref("camera", camera.id, "power"), f"takes {takes:g} V"),)
    fix = Remedy(f"feed it from a supply of {takes:g} V, or through a converter made for both")
    yield Line(Ref("supply", supply.id, "volts"), f"volts:{camera.id}", level, text, (fix,), related=related)


def _watts(supply: Supply, fed: tuple[Camera, ...]) -> Iterator[Line]:
    """The watts of all it feeds against its own; cameras that tell none count for nothing here."""
    drawn = sum(camera.power.watts or 0.0 for camera in fed)
    if supply.watts is None or not drawn:
        return
    share = drawn / supply.watts if supply.watts else FULL + 1
    level: Level | None = "error" if share > FULL else "note" if share > SPARE else None
    text = f"{len(fed)} on the supply {supply.id} draw {drawn:g} W of its {supply.watts:g} W"
    related = tuple(Related(Ref("camera", camera.id, "power"), f"{camera.power.watts or 0:g} W") for camera in fed)
    fix = Remedy(f"take a supply of {drawn / SPARE:.0f} W or more, or one for each camera")
    yield Line(Ref("supply", supply.id, "watts"), "watts", level, text, (fix,), related=related)


def _injector(injector: Injector, q: Query) -> Iterator[Line | Unknown]:
    """An injector has a mains plug: it stays in the dry."""
    if injector.sits is None:
        yield from unsaid(q, injector, "sits")
        return
    where, level = WEATHER.get(injector.sits, ("", None))
    text = (
        f"the injector {injector.id} sits {where}: it has a mains plug, and is made for indoors unless its sheet says"
    )
    fix = Remedy("bring it indoors, to the other end of the network cable")
    bad: Level | None = "warning" if level else None
    yield Line(Ref("injector", injector.id, "sits"), "place", bad, text, (fix, ELECTRICIAN), mains=True)
