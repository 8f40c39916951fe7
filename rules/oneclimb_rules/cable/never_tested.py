"""CABLE-05: ends of a cable that nobody has tested, those made on site first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Info, Limits, Settings
from oneclimb_rules.checklist import COUNTED, Checklist, Item
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Cable


class UntestedSettings(Settings, frozen=True):
    """0 as it should be, else 1, 2 or 3 by the line's level."""

    limits: Limits = COUNTED


def _owed(cable: Cable, q: Query) -> bool:
    """Whether it is one that wants a test, and no cable test that the plan records covers it."""
    proofs = (p for p in q.all("proof") if p.kind == "cable" and p.passed is not False)
    covered = any(not p.of or cable.id in p.of for p in proofs)
    return cable.kind != "fibre" and not covered


def _plugged(cable: Cable) -> bool:
    return any(connector.terminated for connector in cable.connectors)


def _not_bought(cable: Cable, q: Query) -> bool:
    return q.plan.site.stage != "design" and cable.made != "factory" and _owed(cable, q)


def _made_early(cable: Cable, q: Query) -> bool:
    return q.plan.site.stage == "design" and cable.made == "self" and _plugged(cable) and _owed(cable, q)


def _bought(cable: Cable, q: Query) -> bool:
    return q.plan.site.stage != "design" and cable.made == "factory" and _owed(cable, q)


REMEDY = (
    "test it pin by pin with the port's power off, before the camera goes up and again after any repair, and record it"
)


def _untested(tested: bool) -> bool:
    return not tested


class NeverTested(Checklist):
    """A line for ends made on site, one for those already made at the design, one for bought cables."""

    info = Info(
        code="CABLE-05",
        title="cable never tested",
        sources=("common practice (self-made ends want the test most; with the port's power off)",),
        page="never_tested.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = UntestedSettings
    items: ClassVar[tuple[Item, ...]] = (
        Item("tested", _untested, "the ends of {id} were never tested", REMEDY, "warning", _not_bought),
        Item("tested", _untested, "the ends of {id} are made and not tested yet", REMEDY, "note", _made_early),
        Item("tested", _untested, "{id}, a bought cable, was never tested in place", REMEDY, "note", _bought),
    )
