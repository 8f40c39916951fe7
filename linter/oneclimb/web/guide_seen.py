"""A plan of a rule's page: read, reviewed on the day on which pages are, and measured by that rule."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from oneclimb import kit
from oneclimb.api import Finding, Reading, Rule, Unknown, finding_path
from oneclimb.draw import Sitting
from oneclimb.engine.round import Crash
from oneclimb.engine.world import World
from oneclimb.packs import Packs
from oneclimb.plan.read import Loaded, load_document
from oneclimb.plan.read_packs import ForeignError
from oneclimb.plan.schema import Schemas
from oneclimb.plan.text import Document, parse
from oneclimb.report import facts, words
from oneclimb.review import Review, review, world_of


class Judges(Struct, frozen=True):
    """What plans are read and judged by."""

    packs: Packs
    schemas: Schemas


class Seen(Struct, frozen=True):
    """A plan's review, and what its pictures are drawn from: None where the plan can't be used."""

    review: Review
    sitting: Sitting | None


def seen(plan: str, name: str, by: Judges) -> Seen:
    """A plan, given as text under a name, read and reviewed. Never raises for what it holds."""
    try:
        loaded = _loaded(plan, name, by)
    except ForeignError as error:
        crash = Crash(error.key, None, str(error), "")
        return Seen(Review(name, Loaded(name, None, None), crashes=(crash,)), None)
    world = world_of(loaded, by.packs, kit.DAY) if loaded.plan else None
    found = review(loaded, by.packs, today=kit.DAY, world=world)
    return Seen(found, Sitting(found, world) if world and found.loaded.plan else None)


def _loaded(plan: str, name: str, by: Judges) -> Loaded:
    document = parse(name, plan)
    if isinstance(document, Document):
        return load_document(document, by.packs.kinds, by.schemas)
    return Loaded(name, None, None, tuple(document))


class Figures(Struct, frozen=True):
    """What a rule's figure is in both plans, in words; empty where there is none. ``of``: the finding it is of."""

    of: Finding | None = None
    before: str = ""
    after: str = ""


def figures(code: str, before: Seen, after: Seen) -> Figures:
    """A rule's first finding that the plan which passes has the like figure of; or else its first finding."""
    found = [one for one in before.review.findings if one.code == code]
    told = (_figures(one, before, after) for one in found)
    return next((one for one in told if one.after), _figures(found[0], before, after) if found else Figures())


def _figures(finding: Finding, before: Seen, after: Seen) -> Figures:
    if finding.figure is None:
        return Figures(finding)
    then = _reading(finding, after.sitting) if after.sitting else None
    like = then is not None and then.figure.name == finding.figure.name
    said = words.figure(then.settled().figure, facts.tape(after.review)) if then and like else ""
    return Figures(finding, words.figure(finding.figure, facts.tape(before.review)), said)


def _reading(finding: Finding, sitting: Sitting) -> Reading | None:
    """What the finding's rule measures of the same thing here; None where it says nothing of it, or fell over."""
    told = sitting.review
    rule = next((one for one in told.rules if one.info.code == finding.code), None)
    if rule is None or told.policy is None or any(one.code == finding.code for one in told.crashes):
        return None
    measured = _measured(rule, sitting.world, told.policy.settings(rule))
    return next((one for one in measured if finding_path(finding.code, one.at, one.key) == finding.path), None)


def _measured(rule: Rule[Any], world: World, settings: Any) -> Iterator[Reading]:
    """A rule's readings of everything it is about, as far as the plan says what it needs."""
    for subject in world.all(rule.subject):
        with contextlib.suppress(Unknown):
            yield from (one for one in rule.measure(subject, world, settings) if isinstance(one, Reading))
