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
from oneclimb_rules.glare.pane_parts import COATED, INFRARED, LEAST, NIGHT_LOST, ROOM, SEALED, STATUS, Part, what
from oneclimb_rules.heeds import LIGHT

if TYPE_CHECKING:
    from oneclimb.study.night_view import NightView
    from oneclimb.study.pane import Behind


class PaneSettings(Settings, frozen=True):
    """Limits on the share of the night view lost to one thing the pane does."""

    limits: Limits = Limits(note=0.05, warning=0.20, error=0.50)


class BehindAPane(Rule[Camera]):
    """What a pane does: the night view with it against without; the worst of what the pane does by itself."""

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
        found: list[Part | Unknown] = []
        if camera.night in ("infrared", "both"):
            found += [Part(INFRARED, *behind.own), *_coating(camera, behind, q, asks=sealed)]
        if not sealed:
            found += _room(camera, behind, state, q)
        parts = sorted((part for part in found if isinstance(part, Part)), key=lambda part: -part.lost)
        if parts:
            yield _reading(camera, NIGHT_LOST, tuple(parts))
        yield from (why for why in found if isinstance(why, Unknown))
        if not sealed:
            yield from _status(camera, behind, state, q)
        yield from _lamps(camera, behind, q)

    def tell(self, reading: Reading, q: Trial, settings: PaneSettings) -> Told:
        """What the pane does, how far one sees with and without, and what it would be with the infrared off."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        parts: tuple[Part, ...] = reading.facts["parts"]
        worst = parts[0]
        with_it, without_it = (q.say.reach(view.reach.low, view.reach.high) for view in (worst.now, worst.without))
        besides = [part for part in parts[1:] if part.lost >= LEAST]
        each = ", and ".join(f"{what(part)} ({q.say.share(part.lost)} by itself)" for part in besides)
        more = f"; besides, {each}" if besides else ""
        blind = "; by night it is blind there" if worst.now.wanted.value < LEAST else ""
        text = (
            f"{camera.id} looks through a pane, and {what(worst)}: {q.say.share(reading.figure.value)} of the night "
            f"view is lost; a person is usable as far as {with_it}; without that {without_it}{more}{blind}"
        )
        return Told(text, tuple(_remedies(camera, parts, q)), steps=tuple(_steps(camera, parts, q)))


def _reading(camera: Camera, key: str, parts: tuple[Part, ...], related: tuple[Related, ...] = ()) -> Reading:
    """A reading of parts, the worst first."""
    return Reading(
        Figure("night view lost", parts[0].lost, ""),
        Ref("camera", camera.id, "behind"),
        key,
        related,
        {"parts": parts},
        lambda: (max(part.ends[0] for part in parts), max(part.ends[1] for part in parts)),
    )


def _coating(camera: Camera, behind: Behind, q: Query, *, asks: bool) -> Iterator[Part | Unknown]:
    """The pane with its coating against one without; asked for only where its own light is not thrown back anyhow."""
    coated = camera.behind and camera.behind.coated
    if coated:
        plain = q.vary(Change("replace", Ref("camera", camera.id, "behind.coated"), by=False))
        without = plain.of(PANE, plain.get(Ref("camera", camera.id))).clear.view()
        yield Part(COATED, behind.clear.view(), without)
    elif coated is None and asks:
        yield from unsaid(q, camera, "behind.coated")


def _room(camera: Camera, behind: Behind, state: str, q: Query) -> Iterator[Part | Unknown]:
    """A lit room with no curtain drawn behind the camera."""
    silent = tuple(unsaid(q, camera, "behind.room"))
    if not silent and camera.behind and camera.behind.room == "lit":
        silent = tuple(unsaid(q, camera, "behind.curtain"))
        if not silent and not camera.behind.curtain:
            yield _part(ROOM, partial(behind.under, state, behind.room))
    yield from silent


def _status(camera: Camera, behind: Behind, state: str, q: Query) -> Iterator[Reading | Unknown]:
    silent = tuple(unsaid(q, camera, "status-light"))
    yield from silent
    if not silent and camera.status_light:
        veil = behind.status(q.need(camera, "behind.gap"))
        yield _told(camera, _part(STATUS, partial(behind.under, state, veil)))


def _lamps(camera: Camera, behind: Behind, q: Query) -> Iterator[Reading | Unknown]:
    """Each lamp outside that lights the pane, alone, with what it lights."""
    for lamp in q.all("lamp"):
        ref = Ref("lamp", lamp.id)
        if ref in behind.night.lights.index and lamp.kind != "infrared":
            related = Related(ref, f"{lamp.id}, {q.say.tape(behind.night.distance(ref))} from the lens")
            yield _told(camera, _part(ref.path, partial(behind.under, lamp.id, behind.lamp(ref))), related)


def _part(key: str, views: Callable[[], tuple[NightView, NightView]]) -> Part | Unknown:
    """What one thing does, or the question why its state of the lights cannot be told."""
    try:
        return Part(key, *views())
    except Unknown as why:
        return why


def _told(camera: Camera, part: Part | Unknown, *related: Related) -> Reading | Unknown:
    return part if isinstance(part, Unknown) else _reading(camera, part.key, (part,), related)


def _steps(camera: Camera, parts: tuple[Part, ...], q: Query) -> Iterator[str]:
    """The veil with each thing and without, and what the camera sees with its own light off."""
    yield f"a clean pane throws {100 * q.of(PANE, camera).mirrored:.1f} % of light back, square on"
    for part in parts:
        yield (
            f"{what(part)}: veil {part.now.veil:.3g} with it, {part.without.veil:.3g} without (units of threshold "
            f"signal), {q.say.share(part.lost)} lost"
        )
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


def _remedies(camera: Camera, parts: tuple[Part, ...], q: Trial) -> Iterator[Remedy]:
    """A curtain, a status light off, a seal: tried while it is a design; then light from outside, and what it gives."""
    keys = [parts[0].key, *(part.key for part in parts[1:] if part.lost >= LEAST)]
    ways = tuple(_ways(camera, keys))
    outdoors = Remedy(f"move {camera.id} outdoors, or let one outdoors show the ground by night")
    outside = (_from_outside(camera, q), outdoors)
    if COATED in keys:  # a seal or a curtain leaves that
        yield from outside
    if q.plan.site.stage == "design":
        yield from cures(q, ways)
    else:
        yield from (Remedy(f"{text}, and record it once it is done") for text, _ in ways)
    if INFRARED in keys and COATED not in keys:
        yield from outside
    elif not set(keys) & {COATED, *SEALED}:
        yield Remedy("keep the pane clean, and shade the lamp towards it; or look through another pane")


def _ways(camera: Camera, keys: list[str]) -> Iterator[tuple[str, Change]]:
    """What keeps each thing off; a curtain only where the room is the worst."""
    ref = Ref("camera", camera.id)
    if keys[0] == ROOM:
        curtain = "draw a curtain, or hang a dark cloth, behind the camera"
        yield curtain, Change("replace", ref.at("behind.curtain"), by=True)
    if STATUS in keys:
        yield f"switch the status light of {camera.id} off", Change("replace", ref.at("status-light"), "dark")
    if set(keys) & set(SEALED):
        seal = "seal the camera to the glass, with a shroud or ring, so that nothing is mirrored to the lens"
        yield seal, Change("replace", ref.at("behind.sealed"), by=True)


def _from_outside(camera: Camera, q: Query) -> Remedy:
    """Its own light off and the lamps outside lit, where that shows anything; else that it is blind, and what helps."""
    unlit = _unlit(camera, q)
    try:
        usable = q.of(PANE, camera).unlit(ALL).value
    except Unknown:
        usable = 0.0
    if usable >= LEAST:
        return Remedy(f"turn its own infrared off and let lamps outside light the ground: {unlit}")
    lamps = "lamps of visible light" if camera.behind and camera.behind.coated else "lamps"
    return Remedy(
        f"put up {lamps} outdoors that light the ground, write them in the plan and look again: turning its own "
        f"infrared off does not help as things are ({unlit})"
    )
