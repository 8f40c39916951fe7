"""Which pictures tell a rule's two plans apart, and those pictures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.draw import KINDS, Picture, Sitting, ink, pictures
from oneclimb.report import facts
from oneclimb.web.plate import Plate, plate

SITE = "site"
COARSE = 60
"""dots an inch at which two pictures are compared"""
SHOWS: Mapping[str, Sequence[str]] = {
    "GLARE": ("night",),
    "GLARE-05": ("sun", "day"),
    "VIEW": ("ground", "day"),
    "VIEW-01": ("side", "day"),
    "VIEW-02": ("day", "site"),
    "VIEW-03": ("site", "day"),
    "VIEW-05": ("night", "ground"),
    "VIEW-06": ("side", "day"),
    "VIEW-07": ("day", "side"),
    "VIEW-08": ("day", "ground"),
    "VIEW-09": ("night",),
    "VIEW-10": ("day", "ground"),
    "VIEW-11": ("day", "site"),
    "VIEW-12": ("site",),
    "VIEW-13": ("night",),
    "MOUNT-05": ("site",),
    "MOUNT-06": ("side", "day"),
    "MOUNT-07": ("day",),
    "POWER-01": ("budget",),
    "POWER-02": ("budget",),
    "POWER-03": ("volts",),
    "POWER-04": ("volts",),
    "POWER-06": ("battery",),
    "POWER-07": ("battery",),
    "POWER-08": ("battery",),
    "RECORD-01": ("storage",),
    "RECORD-03": ("storage",),
    "RECORD-04": ("storage",),
}
"""by code or family of a rule: the kinds of picture in which its mistake shows, best first; the site where none does"""
ALSO: Mapping[str, str] = {"GLARE": "other"}
"""by family: the kind of picture that explains a finding of its own accord"""


class Pair(Struct, frozen=True):
    """A picture of the plan that fails and the like of the one that passes; None where there it is the same."""

    before: Plate
    after: Plate | None


def pairs(code: str, before: Sitting, after: Sitting) -> tuple[Pair, ...]:
    """The pictures of a rule's two plans: those that differ, or else the first that there is, once."""
    ref = _about(code, before)
    kinds = SHOWS.get(code) or SHOWS.get(_family(code)) or ()
    same: list[Pair] = []
    different: list[Pair] = []
    for kind in dict.fromkeys((*kinds, SITE)):
        if different and kind not in kinds:
            break
        if (made := _pair(kind, ref, before, after)) is not None:
            (different if made.after else same).append(made)
    return tuple(different or same[:1])


def extra(code: str, before: Sitting) -> tuple[Plate, ...]:
    """What else explains the findings of a rule on the plan that fails."""
    kind = ALSO.get(_family(code))
    numbers = {n for n, one in before.numbered if one.finding.code == code}
    return tuple(plate(one) for one in _of(kind, before) if one.finding in numbers) if kind else ()


def _family(code: str) -> str:
    return code.partition("-")[0]


def _about(code: str, sitting: Sitting) -> Ref:
    """The thing that the first finding of the rule is about."""
    return next(one.finding.at.thing for _, one in sitting.numbered if one.finding.code == code)


def _of(kind: str, sitting: Sitting) -> list[Picture]:
    return list(pictures(sitting, [kind])) if kind in KINDS else []


def _pair(kind: str, ref: Ref, before: Sitting, after: Sitting) -> Pair | None:
    """Both pictures of a kind; None where one of the plans has none of it."""
    first = _best(_of(kind, before), list(_near(ref, before)))
    second = _best(_of(kind, after), [first.about.thing] if first else [])
    if first is None or second is None:
        return None
    return Pair(plate(first), None if _same(_unmarked(first, before), second) else plate(second))


def _unmarked(picture: Picture, sitting: Sitting) -> Picture:
    """The same picture without the marks of findings: only the drawing of the site has any."""
    if picture.kind != SITE:
        return picture
    return next(pictures(Sitting(replace(sitting.review, findings=()), sitting.world), [SITE]))


def _same(one: Picture, other: Picture) -> bool:
    """Whether two pictures look the same."""
    return ink.png(replace(one, title=""), COARSE) == ink.png(replace(other, title=""), COARSE)


def _near(ref: Ref, sitting: Sitting) -> Iterator[Ref]:
    """The thing itself; the camera it belongs to; those that watch it."""
    yield ref
    if ref in (homes := facts.homes(sitting.review)):
        yield homes[ref]
    if ref.kind == "area":
        yield from (Ref("camera", c.id) for c in sitting.world.plan.cameras if ref.id in c.watches)


def _best(listed: Sequence[Picture], near: Sequence[Ref]) -> Picture | None:
    """The picture of what is nearest, or the first."""
    for ref in near:
        for one in listed:
            if one.about.thing == ref:
                return one
    return listed[0] if listed else None
