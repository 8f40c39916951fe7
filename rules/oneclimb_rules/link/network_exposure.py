"""LINK-06: a network that lets strangers at the cameras, as the plan declares it; and two equal addresses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from ipaddress import ip_address
from typing import TYPE_CHECKING, Any, ClassVar

from oneclimb.api import LEVELS, Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Settings, Told, Unknown
from oneclimb_rules.checklist import COUNTED, Checklist, Item

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Site

OWN = "give it a password of its own, long, kept by the owner, and written nowhere else"
ENDED = "replace it, or take it off any network that reaches the internet"
SITE = (
    Item(
        "network.password",
        lambda value: value == "default",
        "the router or recorder has the password it came with",
        OWN,
        "error",
    ),
    Item(
        "network.password",
        lambda value: value == "shared",
        "the router and recorder share a password with other things",
        OWN,
    ),
    Item(
        "network.forwarded",
        bool,
        "ports are forwarded from the internet to a camera or the recorder",
        "close them, and look in from outside through a virtual private network or the maker's relay",
        "error",
    ),
    Item(
        "network.updates", lambda value: value == "ended", "the router's maker has stopped mending its software", ENDED
    ),
)
THINGS = (
    Item("password", lambda value: value == "default", "{id} has the password it came with", OWN, "error"),
    Item("password", lambda value: value == "shared", "{id} shares its password with other things", OWN),
    Item("updates", lambda value: value == "ended", "{id}'s maker has stopped mending its software", ENDED),
)
JACKS = Item(
    "network.jacks",
    lambda value: value == "open",
    "network sockets outdoors are open to whatever is plugged in",
    "lock those ports to their cameras, or put the cameras on a network of their own",
)
SEPARATE = Item(
    "network.separate",
    lambda value: value is False,
    "the cameras are on the same network as everything else",
    "give the cameras a network of their own",
    "note",
)


class ExposureSettings(Settings, frozen=True):
    """A line of the checklist counts 1 to 3."""

    limits: Limits = COUNTED


class NetworkExposure(Checklist):
    """Passwords, forwarded ports, updates, sockets outdoors, a network apart; and equal addresses, computed."""

    info = Info(
        code="LINK-06",
        title="network open to strangers",
        sources=(
            "ETSI EN 303 645 (no universal default passwords, software kept updated, exposed attack surfaces "
            "minimised; from memory, check against the document)",
            "common practice (forwarded ports, sockets outdoors, a network of their own)",
        ),
        page="network_exposure.md",
    )
    subject: ClassVar[str] = "site"
    settings = ExposureSettings

    def measure(self, subject: Site, q: Query, settings: Settings) -> Iterable[Reading | Unknown]:
        """The site's lines where the plan speaks of the network; what is declared of each thing; equal addresses."""
        del settings
        if subject.network is not None:
            yield from self._asked(subject, q)
        for kind in ("camera", "recorder"):
            for thing in q.all(kind):
                yield from _declared(kind, thing)
        yield from _equal(q)

    def _asked(self, site: Site, q: Query) -> Iterator[Reading | Unknown]:
        ref = Ref("site", "site")
        for field in dict.fromkeys(item.field for item in (*SITE, JACKS, SEPARATE)):
            try:
                value = q.need(site, field)
            except Unknown as unknown:
                yield unknown
                continue
            items = [item for item in (*SITE, JACKS, SEPARATE) if item.field == field]
            yield _line(ref.at(field), items, site, value)

    def level(self, reading: Reading, value: float, settings: Settings) -> Level | None:
        """Two things with one address are a warning, however many; the rest by the checklist."""
        if "address" in reading.facts:
            return "warning" if value > 0.0 else None
        return super().level(reading, value, settings)

    def tell(self, reading: Reading, q: Trial, settings: Settings) -> Told:
        """What is declared; or which two things have one address."""
        if "address" not in reading.facts:
            return super().tell(reading, q, settings)
        names = reading.facts["names"]
        both = f"{', '.join(names[:-1])} and {names[-1]}"
        text = f"{both} have the same address, {reading.facts['address']}: neither works for long"
        return Told(text, (Remedy("give each an address of its own, reserved in the router"),))


def _line(at: Ref, items: Iterable[Item], subject: Any, value: Any) -> Reading:
    """One field's reading: by the first of its lines that is wrong, else as it should be."""
    lines = list(items)
    wrong = next((item for item in lines if item.bad(value)), None)
    weight = 1.0 + LEVELS.index(wrong.level) if wrong else 0.0
    facts = {"item": wrong or lines[0], "subject": subject, "value": value}
    return Reading(Figure("against the checklist", weight, "of 3"), at, key=at.field, facts=facts)


def _declared(kind: str, thing: Any) -> Iterator[Reading]:
    """What a camera or recorder declares of itself; what it does not is not asked thing by thing."""
    for field in ("password", "updates"):
        value = getattr(thing, field)
        if value is not None:
            yield _line(Ref(kind, thing.id, field), [item for item in THINGS if item.field == field], thing, value)


def _equal(q: Query) -> Iterator[Reading]:
    """For each address written in the plan, whether more than one camera or recorder has it."""
    by_address: dict[str, list[Ref]] = {}
    for kind in ("camera", "recorder"):
        for thing in q.all(kind):
            if thing.address:
                by_address.setdefault(_plain(thing.address), []).append(Ref(kind, thing.id, "address"))
    for address, refs in by_address.items():
        yield Reading(
            Figure("things with one address", float(len(refs) - 1), "too many"),
            Ref("site", "site"),
            key=address,
            related=tuple(Related(ref, "the same address") for ref in refs),
            facts={"address": address, "names": [ref.id for ref in refs]},
        )


def _plain(address: str) -> str:
    """An address in its one usual spelling; as written where it is none."""
    try:
        return ip_address(address).compressed
    except ValueError:
        return address
