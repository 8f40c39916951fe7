"""What a picture comes to in words: how good it is, what spoils it, by how much, by which finding."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from oneclimb.api import Change, Finding, Ref
from oneclimb.draw import causes, panes, shows, tones
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import DARK, NIGHT

if TYPE_CHECKING:
    from oneclimb.api import Figure
    from oneclimb.draw import Sitting
    from oneclimb.draw.causes import Shown
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.daylight import Daylight
    from oneclimb.study.night_view import NightView
    from oneclimb.study.picture import Fine

Told = Sequence[tuple[int, Finding]]
MOST = 3
"""findings told under a picture, and pointed at in it; the rest are counted"""
SURFACES, LEAST = 4, 0.005
"""things told that the frame is spent on, at the most; and the share from which on a part is told"""
OWN = {"infrared": "its own infrared", "white": "its own white light"}
"""by what a camera lights with: what its light is called"""


def night_told(sitting: Sitting, camera: Camera, state: str) -> list[tuple[int, Finding]]:
    """The findings a picture by night shows: those about a lamp where all are lit, of ground where its figure is the
    one in this state, the others where all lamps are out; what spoils the picture first.
    """
    found = [one for one in shows.told(sitting, camera, "night") if _in(state, sitting.world, one[1], camera)]
    return sorted(found, key=lambda one: one[1].code not in shows.SPOILS)


def _in(state: str, world: World, finding: Finding, camera: Camera) -> bool:
    if finding.at.kind == "area":
        return causes.is_told_in(state, world, finding, camera)
    return (state != DARK) == bool(panes.lit_by(finding))


def night(sitting: Sitting, camera: Camera, told: Told, state: str) -> str:
    """A night's verdict in a state of the lamps: what most of it is lost to, or how far it is usable."""
    say, world = tape(sitting.review), sitting.world
    found = [(taken(world, one, camera, state), n, one) for n, one in told if spoils(world, one, camera)]
    if not found:
        return _usable(world.of(NIGHT, camera).view(state), say)
    share, number, finding = max(found, key=lambda one: one[0])
    spoilt = "" if finding.level == "note" else "spoilt, "
    return f"{spoilt}{say.share(share)} of the night view lost to {cause(world, finding, camera)} (finding {number})"


def spoils(world: World, finding: Finding, camera: Camera) -> bool:
    """Whether what takes the night view is in the picture by night: all but veils that a pane before it makes."""
    if finding.code not in shows.SPOILS or finding.figure is None:
        return False
    found = panes.behind(world, finding, camera) if finding.at.field == "behind" else None
    return found.mirrors if found else finding.at.field != "behind"


def taken(world: World, finding: Finding, camera: Camera, state: str) -> float:
    """Share of the night view lost to a finding's cause: its own figure, or, to a lamp, what it is in this state."""
    lamp = panes.lit_by(finding)
    if lamp:
        dark = world.vary(Change("dark", Ref("lamp", lamp))).of(NIGHT, camera)
        return panes.lost(world.of(NIGHT, camera).view(state), dark.view(state))
    return abs(finding.figure.value) if finding.figure else 0.0


def cause(world: World, finding: Finding, camera: Camera) -> str:
    """What takes the night view, in words."""
    found = panes.behind(world, finding, camera) if finding.at.field == "behind" else None
    if found:
        return found.what
    first = finding.related[0]
    if first.at.kind in {"object", "building"}:
        return f"{OWN.get(camera.night, 'its own light')} off {first.text}"
    return f"the light of {first.text}"


def _usable(view: NightView, say: Tape) -> str:
    if not view.usable:
        return f"a person is usable as far as {say.reach(view.reach.low, view.reach.high)}"
    return f"usable on {grounds(view, say)}"


def grounds(view: NightView, say: Tape) -> str:
    """``21 % of front-yard and 100 % of step``: what of the wanted ground in sight a person is usable on."""
    return words.listed([f"{say.share(used.value)} of {name}" for name, used in view.usable.items()])


def night_words(sitting: Sitting, told: Told, view: NightView) -> list[str]:
    """What is said under a picture by night: where a person is usable, and the findings."""
    say = tape(sitting.review)
    part = any(LEAST < used.value < 1.0 - LEAST for used in view.usable.values())
    near = "; places within half a stop of the limit count in part" if part else ""
    areas = f"on {grounds(view, say)} (of the part in sight{near}); " if view.usable else ""
    reach = f"along its axis as far as {say.reach(view.reach.low, view.reach.high)}"
    return [f"A person is usable {areas}{reach}.", *findings(told)]


def findings(told: Told) -> list[str]:
    """The worst findings in their own words, the rest counted."""
    said = [f"Finding {number}: {one.text}." for number, one in told[:MOST]]
    more = len(told) - MOST
    return [*said, f"And {words.count(more, 'more finding')} of this picture."] if more > 0 else said


def day(sitting: Sitting, told: Told) -> str:
    """A day's verdict: the worst finding's figure, or that there is none."""
    worst = next(((number, one) for number, one in told if one.figure), None)
    if worst is None:
        return "nothing found in it"
    number, finding = worst
    where = f"{finding.at.id}, " if finding.at.kind == "area" else ""
    return f"{where}{figured(finding.figure, tape(sitting.review))} (finding {number})"


def figured(figure: Figure | None, say: Tape) -> str:
    """``frame that could be better spent: 12 %``."""
    return words.figure(figure, say) if figure else ""


def spent(day: Daylight) -> str:
    """What the frame is spent on, most first."""
    shares: dict[str, float] = {}
    for ref, share in day.raster.shares().items():
        name = words.thing(ref.kind, ref.id) if ref.kind != "site" else "ground"
        shares[name] = shares.get(name, 0.0) + share
    most = sorted(((name, share) for name, share in shares.items() if share > LEAST), key=lambda one: -one[1])
    return ", ".join(f"{round(100 * share)} % {name}" for name, share in most[:SURFACES])


def brief(sitting: Sitting, one: Shown, fine: Fine, view: NightView) -> list[str]:
    """One world's night in a few words: the finding's figure there, how far one sees, what the frame is."""
    say = tape(sitting.review)
    used = f"Usable on {grounds(view, say)}; " if view.usable else "Usable "
    reach = f"{used}along its axis as far as {say.reach(view.reach.low, view.reach.high)}"
    return [*_first(one, say), f"{reach}; {tones.listed(tones.shares(fine, one.state, view))} of the frame."]


def brief_day(sitting: Sitting, one: Shown, day: Daylight) -> list[str]:
    """One world's day in a few words: the finding's figure there, what the frame is spent on."""
    return [*_first(one, tape(sitting.review)), f"In the frame: {spent(day)}."]


def _first(one: Shown, say: Tape) -> list[str]:
    said = figured(one.figure, say)
    return [f"{said[:1].upper()}{said[1:]}."] if said else []


def who(camera: Camera) -> str:
    """Whom the figures in the picture stand for."""
    names = [quote(name) for name in camera.watches]
    return f"A person is drawn to scale in what it is to watch: {words.listed(names)}." if names else ""
