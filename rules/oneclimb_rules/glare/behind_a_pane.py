"""GLARE-04: a camera behind a pane: its own light, the room, a status light and lamps mirrored or strayed in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Limits,
    Query,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
)
from oneclimb.plan.model import Camera
from oneclimb.study import ALL, DARK, PANE
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.glare.shares import lost
from oneclimb_rules.heeds import LIGHT

if TYPE_CHECKING:
    from oneclimb.study.night_view import NightView
    from oneclimb.study.pane import Behind

INFRARED, COATED, STATUS, ROOM = "infrared", "coated", "status-light", "room"
SEALED = (INFRARED, STATUS, ROOM)
"""what a seal to the glass keeps off"""
WHAT = {
    INFRARED: "the pane throws its own infrared back",
    COATED: "the pane's coating keeps near infrared back, going out and coming in",
    STATUS: "its status light is mirrored in the pane",
    ROOM: "the lit room behind it is mirrored in the pane",
}


class PaneSettings(Settings, frozen=True):
    """Limits on the share of the night view lost to one thing the pane does."""

    limits: Limits = Limits(note=0.05, warning=0.20, error=0.50)


class BehindAPane(Rule[Camera]):
    """For each thing a pane does: the night view with it against without."""

    info = Info(
        code="GLARE-04",
        title="behind a pane",
        sources=(
            "Fresnel: a clean pane throws 8.2 % back square on; measured plate glass 8.5 % at 850 nm (ECOSTRESS)",
            "inverse square (photometry, textbook); veiling glare: ISO 9358:1994, definition",
            "living room 50 lx: lux tables, as quoted in print",
            "coated panes, status lights, what a room sends back: estimate",
        ),
        page="behind_a_pane.md",
    )
    subject = "camera"
    heeds = LIGHT
    settings = PaneSettings

    def measure(self, camera: Camera, q: Query, settings: PaneSettings) -> Iterable[Reading | Unknown]:
        """Share of the night view lost to each of what the pane does."""
        del settings
        if camera.behind is None:
            return
        sealed = q.need(camera, "behind.sealed")
        behind = q.of(PANE, camera)
        state = DARK if behind.night.own_lit else ALL
        infrared = camera.night in ("infrared", "both")
        if infrared:
            yield _reading(camera, INFRARED, *behind.own)
            yield from _coating(camera, behind, q, asks=sealed)
        if not sealed:
            yield from _room(camera, behind, state, q)
            yield from _status(camera, behind, state, q)
        yield from _lamps(camera, behind, q)

    def tell(self, reading: Reading, q: Trial, settings: PaneSettings) -> Told:
        """What the pane does, how far one sees with and without, and what it would be with the infrared off."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        now, without = reading.facts["now"], reading.facts["without"]
        what = WHAT.get(reading.key) or f"{reading.key.partition('/')[2]} lights the pane and what lies on it"
        with_it, without_it = (q.say.span(view.reach.low, view.reach.high) for view in (now, without))
        text = (
            f"{camera.id} looks through a pane, and {what}: {q.say.share(reading.figure.value)} of the night view is "
            f"lost; a person is usable as far as {with_it}, without that {without_it}"
        )
        return Told(text, tuple(_remedies(camera, reading.key, q)), steps=tuple(_steps(camera, now, without, q)))


def _reading(
    camera: Camera, key: str, now: NightView, without: NightView, related: tuple[Related, ...] = ()
) -> Reading:
    kept = now.kept(without)
    return Reading(
        Figure("night view lost", lost(kept.value), ""),
        Ref("camera", camera.id, "behind"),
        key,
        related,
        {"now": now, "without": without},
        lambda: (lost(kept.high), lost(kept.low)),
    )


def _coating(camera: Camera, behind: Behind, q: Query, *, asks: bool) -> Iterator[Reading | Unknown]:
    """The pane with its coating against one without; asked for only where its own light is not thrown back anyhow."""
    coated = camera.behind and camera.behind.coated
    if coated:
        plain = q.vary(Change("replace", Ref("camera", camera.id, "behind.coated"), by=False))
        without = plain.of(PANE, plain.get(Ref("camera", camera.id))).clear.view()
        yield _reading(camera, COATED, behind.clear.view(), without)
    elif coated is None and asks:
        yield from unsaid(q, camera, "behind.coated")


def _room(camera: Camera, behind: Behind, state: str, q: Query) -> Iterator[Reading | Unknown]:
    """A lit room with no curtain drawn behind the camera."""
    silent = tuple(unsaid(q, camera, "behind.room"))
    if not silent and camera.behind and camera.behind.room == "lit":
        silent = tuple(unsaid(q, camera, "behind.curtain"))
        if not silent and not camera.behind.curtain:
            yield from _told(camera, ROOM, partial(behind.under, state, behind.room))
    yield from silent


def _status(camera: Camera, behind: Behind, state: str, q: Query) -> Iterator[Reading | Unknown]:
    silent = tuple(unsaid(q, camera, "status-light"))
    yield from silent
    if not silent and camera.status_light:
        veil = behind.status(q.need(camera, "behind.gap"))
        yield from _told(camera, STATUS, partial(behind.under, state, veil))


def _lamps(camera: Camera, behind: Behind, q: Query) -> Iterator[Reading | Unknown]:
    """Each lamp outside that lights the pane, alone, with what it lights."""
    for lamp in q.all("lamp"):
        ref = Ref("lamp", lamp.id)
        if ref in behind.night.lights.index and lamp.kind != "infrared":
            related = Related(ref, f"{lamp.id}, {q.say.tape(behind.night.distance(ref))} from the lens")
            yield from _told(camera, ref.path, partial(behind.under, lamp.id, behind.lamp(ref)), related)


def _told(
    camera: Camera, key: str, views: Callable[[], tuple[NightView, NightView]], *related: Related
) -> Iterator[Reading | Unknown]:
    """A reading of one thing, or the question why its state of the lights cannot be told."""
    try:
        yield _reading(camera, key, *views(), related)
    except Unknown as why:
        yield why


def _steps(camera: Camera, now: NightView, without: NightView, q: Query) -> Iterator[str]:
    """The veil with and without, and what the camera sees with its own light off."""
    yield f"a clean pane throws {100 * q.of(PANE, camera).mirrored:.1f} % of light back, square on"
    yield f"veil {now.veil:.3g} with it, {without.veil:.3g} without (units of threshold signal)"
    yield _unlit(camera, q)


def _unlit(camera: Camera, q: Query) -> str:
    """What the camera sees of the wanted ground with its own light off, in words."""
    behind = q.of(PANE, camera)
    dark = q.say.share(behind.unlit(DARK).value)
    if not q.all("lamp"):
        return f"with its own light off {dark} of the wanted ground is usable: no lamp of the plan lights it"
    try:
        lit = q.say.share(behind.unlit(ALL).value)
    except Unknown:
        return f"with its own light off, and every lamp out, {dark} of the wanted ground is usable"
    return f"with its own light off {dark} of the wanted ground is usable with every lamp out, {lit} with all lit"


def _remedies(camera: Camera, key: str, q: Trial) -> Iterator[Remedy]:
    """A curtain, a status light off, a seal: tried while it is a design; then light from outside, and what it gives."""
    ref = Ref("camera", camera.id)
    ways = []
    if key == ROOM:
        ways.append(
            (
                "draw a curtain, or hang a dark cloth, behind the camera",
                Change("replace", ref.at("behind.curtain"), by=True),
            )
        )
    if key == STATUS:
        ways.append((f"switch the status light of {camera.id} off", Change("replace", ref.at("status-light"), "dark")))
    if key in SEALED:
        seal = "seal the camera to the glass, with a shroud or ring, so that nothing is mirrored to the lens"
        ways.append((seal, Change("replace", ref.at("behind.sealed"), by=True)))
    if q.plan.site.stage == "design":
        yield from cures(q, ways)
    else:
        yield from (Remedy(f"{text}, and record it once it is done") for text, _ in ways)
    if key in (INFRARED, COATED):
        yield Remedy(f"turn its own infrared off and light the ground from outside: {_unlit(camera, q)}")
        yield Remedy("or move the camera outdoors")
    elif key not in SEALED:
        yield Remedy("keep the pane clean, and shade the lamp towards it; or look through another pane")
