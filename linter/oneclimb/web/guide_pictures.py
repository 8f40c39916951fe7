"""The pictures of a rule's two plans, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.draw import KINDS, Picture, Sitting, ink, named, pictures
from oneclimb.report import facts
from oneclimb.web.guide_kinds import ALSO, SITE, family, look, shows
from oneclimb.web.plate import Plate, plate


class Pair(Struct, frozen=True):
    """A picture of the plan that fails and the like of the one that passes, which is None where nothing in it differs
    but the finding's mark; and what to look at. ``alike``: the second shows another state of the lamps, because there
    the wanted one hardly differs from it.
    """

    before: Plate
    after: Plate | None
    look: str
    alike: bool


def pairs(code: str, about: Ref | None, before: Sitting, after: Sitting) -> tuple[Pair, ...]:
    """The pictures, of what a mistake is ``about``, in which a rule's two plans differ; or else, once, where it is."""
    near = list(_near(about, before)) if about else []
    made = [pair for wanted in shows(code) if (pair := _pair(code, wanted, near, before, after))]
    return tuple([pair for pair in made if pair.after] or made[:1])


def extra(code: str, before: Sitting) -> tuple[Plate, ...]:
    """What else explains the findings of a rule on the plan that fails."""
    kind = ALSO.get(family(code))
    numbers = {n for n, one in before.numbered if one.finding.code == code}
    return tuple(plate(one) for one in _of(kind, before) if one.finding in numbers) if kind else ()


def _of(wanted: str, sitting: Sitting) -> list[Picture]:
    """The pictures of a kind; those with the lamps in a wanted state, where there is one."""
    kind = wanted.partition(" ")[0]
    found = list(pictures(sitting, [kind])) if kind in KINDS else []
    return [one for one in found if _stated(one, wanted)] or found


def _stated(picture: Picture, wanted: str) -> bool:
    """Whether a picture shows the lamps in the wanted state."""
    kind, _, state = wanted.partition(" ")
    return bool(state) and picture.name == named(kind, picture.about.id, state)


def _pair(code: str, wanted: str, near: Sequence[Ref], before: Sitting, after: Sitting) -> Pair | None:
    """Both pictures of a kind; None where a plan has none of it, or they are the same and have no mark to show."""
    first = _best(_of(wanted, before), near)
    second = _best(_of(wanted, after), [first.about.thing]) if first else None
    if first is None or second is None:
        return None
    one, other = _drawn(first), _drawn(second)
    same = _looks(_unmarked(one, before)) == _looks(other)
    if same and first.kind != SITE:
        return None
    alike = _stated(first, wanted) and not _stated(second, wanted)
    return Pair(plate(one), None if same else plate(other), look(code, first.kind), alike)


def _drawn(picture: Picture) -> Picture:
    """A picture whose figure is made now, and once."""
    figure = ink.drawn(picture)
    return replace(picture, make=lambda: figure)


def _unmarked(picture: Picture, sitting: Sitting) -> Picture:
    """The same picture without the marks of findings: only the drawing of the site has any."""
    if picture.kind != SITE:
        return picture
    return next(pictures(Sitting(replace(sitting.review, findings=()), sitting.world), [SITE]))


def _looks(picture: Picture) -> str:
    """How a picture looks, whatever is said of it."""
    return ink.svg(replace(picture, title="", said=""))


def _near(ref: Ref, sitting: Sitting) -> Iterator[Ref]:
    """The thing itself; the camera it belongs to; those that watch it; what is theirs."""
    homes = facts.homes(sitting.review)
    yield ref
    if ref in homes:
        yield homes[ref]
    if ref.kind == "area":
        yield from (Ref("camera", c.id) for c in sitting.world.plan.cameras if ref.id in c.watches)
    yield from (part for part, home in homes.items() if home == ref)


def _best(listed: Sequence[Picture], near: Sequence[Ref]) -> Picture | None:
    """The picture of what is nearest, or the first."""
    return next((one for ref in near for one in listed if one.about.thing == ref), listed[0] if listed else None)
