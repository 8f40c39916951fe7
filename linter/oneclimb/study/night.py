"""The night study's result: the picture after dark, what spoils it, and what it would be without.

Single bounce and additive: every figure is a sum over surfaces and sources, so the world
in which one of them gives nothing (but still hides what is behind it) is found by leaving
its terms out, with nothing cast again.

Left out: light that bounces twice (some 9 % more in a yard), lens vignetting, mirrors of
lamps other than the camera's own, haze and rain. Lamps themselves fill no pixels. A
camera whose night is ``both`` is judged by its infrared: its white light comes only with
an event.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from oneclimb.api import Ref, Unknown
from oneclimb.study import ALL, DARK
from oneclimb.study.night_sums import Habits, Sums
from oneclimb.study.night_told import Contribution, contributions
from oneclimb.study.night_view import NO_VEIL, Added, NightView
from oneclimb.study.numbers import distinct
from oneclimb.trade import light

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import numpy.typing as npt

    from oneclimb.plan.model import Camera
    from oneclimb.study.cover import Cover
    from oneclimb.study.night_field import Field, Own
    from oneclimb.study.night_glass import Direct
    from oneclimb.study.night_others import Others
    from oneclimb.study.night_targets import Targets
    from oneclimb.study.raster import Raster
    from oneclimb.study.sources import Lights

    Array = npt.NDArray[np.float64]
    Which = npt.NDArray[np.intp]


class Night(Struct, frozen=True, dict=True):
    """A camera's night. ``dark`` are surfaces and sources that give nothing in this world."""

    camera: Camera
    raster: Raster
    cover: Cover
    lights: Lights
    own_ref: Ref | None
    """the camera's own light as a source; None where it has none"""
    own_column: int
    """the reflectances its light meets, nm"""
    own: Own
    frame: Field
    round: Field
    found: Targets
    others: Others
    mirrors: tuple[Direct, ...]
    """panes in which the camera meets its own light"""
    watched: tuple[str, ...]
    """night-wanted areas the camera is for, with places in sight"""
    habits: Habits
    tables: Mapping[tuple[int, str], Array]
    """(wavelength nm, end of the doubt) → reflectance by material number, the last one (-1) the sky's 0"""
    ground: int
    """material number of the ground"""
    dark: frozenset[Ref] = frozenset()
    _views: dict[tuple[str, bool, Added], NightView] = field(default_factory=dict)
    _told: dict[str, tuple[Contribution, ...]] = field(default_factory=dict)

    # -------------------------------------------------------------------------- states

    @property
    def states(self) -> tuple[str, ...]:
        """``DARK`` with every lamp out, each lamp that can be lit by itself, and ``ALL``."""
        known = (s.ref.id for s in self.lights.lights if s.ref.kind == "lamp" and not s.steady)
        return (DARK, *known, *(ref.id for ref in self.lights.unknown if ref.kind == "lamp"), ALL)

    @property
    def untold(self) -> tuple[Unknown, ...]:
        """Other cameras' lights that are left out because the plan does not describe them."""
        return tuple(why for ref, why in self.lights.unknown.items() if ref.kind == "camera")

    def view(self, state: str = DARK, *, dims: bool | None = None, added: Added = NO_VEIL) -> NightView:
        """The picture in a state: ``DARK`` (lamps out, infrared lit), a lamp's id (that lamp, and those lit all
        night that are described), ``ALL``. ``dims`` overrides whether the camera dims its own infrared;
        ``added`` is a veil over the whole frame besides. Raises ``Unknown`` where the lamp the state is named after,
        or for ``ALL`` any lamp, is not described, ``KeyError`` for a state there is not.
        """
        habits = self.habits if dims is None else replace(self.habits, dims=dims)
        key = (state, habits.dims, added)
        if key not in self._views:
            sums = functools.partial(self.sums, self.lit(state))
            self._views[key] = NightView(
                sums,
                found=self.found,
                habits=habits,
                pruned=self.others.pruned,
                watched=self.watched,
                size=self.frame.size,
                added=added,
            )
        return self._views[key]

    def lit(self, state: str) -> Which:
        """Rows of ``others`` that are lit in a state and not dark in this world; raises as ``view`` does."""
        lamp = Ref("lamp", state)
        if state not in {DARK, ALL} and lamp not in self.lights.index and lamp not in self.lights.unknown:
            raise KeyError(state)
        for ref, why in self.lights.unknown.items():
            if ref not in self.dark and (ref == lamp or (ref.kind == "lamp" and state == ALL)):
                raise why
        sources = [self.lights.lights[source] for source in self.others.which]
        rows = [i for i, s in enumerate(sources) if s.ref not in self.dark and s.burns(state, (DARK, ALL))]
        return np.array(rows, dtype=np.intp)

    # ---------------------------------------------------------------------------- sums

    @property
    def own_lit(self) -> bool:
        """Whether the camera has a light of its own that is lit in this world."""
        return self.own_ref is not None and self.own_ref not in self.dark

    @property
    def mirrors_lit(self) -> list[Direct]:
        """Panes that throw the camera's own light back in this world."""
        return [m for m in self.mirrors if self.own_lit and m.ref not in self.dark]

    @functools.cached_property
    def _gives(self) -> npt.NDArray[np.bool_]:
        """By owner number, the last one (-1) the sky's: whether a surface sends light back in this world."""
        gives = np.ones(len(self.raster.scene.owners) + 1, dtype=np.bool_)
        gives[self.raster.scene.owned_by(self.dark)] = False
        return gives

    def shining(self, field: Field, column: int, end: str) -> Array:
        """(G,) reflectance of a field's groups at a wavelength and end of the doubt; 0 of those dark in this world."""
        shares = self.tables[column, end][field.materials]
        return shares * self._gives[field.owners] if self.dark else shares

    def own_fallen(self, field: Field, end: str) -> Array:
        """(G,) irradiance on the glass from a field's groups under the camera's own light."""
        if not self.own_lit:
            return np.zeros(len(field.owners))
        shares = self.shining(field, self.own_column, end)
        return shares * field.own_sum + np.where(shares > 0.0, field.retro_sum, 0.0)

    def rest_fallen(self, field: Field, lit: Which, end: str) -> Array:
        """(G,) the same under the other sources ``lit``."""
        by_source = self.others.frame_sums if field is self.frame else self.others.round_sums
        total = np.zeros(len(field.owners))
        for column, rows, strength in self._by_column(lit, end):
            total += self.shining(field, column, end) * _added(strength, by_source[rows])
        return total

    def rest_on_glass(self, lit: Which, end: str) -> tuple[float, float]:
        """Irradiance on the glass by the other sources ``lit``, straight and off surfaces: from inside the frame, from
        outside it.
        """
        strength = {s.ref: s.strength(end) for s in (self.lights.lights[i] for i in self.others.which[lit])}
        straight = [(d.inside, strength[d.ref] * d.received) for d in self.others.direct if d.ref in strength]
        inside = float(self.rest_fallen(self.frame, lit, end).sum()) + sum(e for within, e in straight if within)
        outside = float(self.rest_fallen(self.round, lit, end).sum()) + sum(e for within, e in straight if not within)
        return inside, outside

    def own_signal(self, end: str) -> Array:
        """Signal of the frame's samples (n,) under the camera's own light."""
        frame = self.frame
        if not self.own_lit:
            return np.zeros(len(frame.t))
        shares = self.shining(frame, self.own_column, end)[frame.group]
        signal = light.signal(shares, frame.own)
        return signal if frame.retro is None else signal + frame.retro * (shares > 0.0)

    def rest_signal(self, lit: Which, end: str) -> Array:
        """The same under the other sources ``lit``."""
        frame, total = self.frame, np.zeros(len(self.frame.t))
        for column, rows, strength in self._by_column(lit, end):
            arriving = _added(strength, self.others.on_frame[rows])[frame.spread]
            total += light.signal(self.shining(frame, column, end)[frame.group], arriving)
        return total

    def _by_column(self, lit: Which, end: str) -> Iterable[tuple[int, Which, Array]]:
        """Lit sources by the reflectances they meet: column, rows, and how strong each is at this end of the doubt."""
        sources = [self.lights.lights[source] for source in self.others.which[lit]]
        for column in sorted({s.column for s in sources}):
            chosen = [i for i, s in enumerate(sources) if s.column == column]
            yield column, lit[chosen], np.array([sources[i].strength(end) for i in chosen])

    def sums(self, lit: Which, end: str) -> Sums:
        """All sums of one state of the lights at one end of the doubt."""
        mirrored = [(m.inside, m.received) for m in self.mirrors_lit]
        own_targets, rest_targets = self._target_signals(lit, end)
        rest_inside, rest_outside = self.rest_on_glass(lit, end)
        return Sums(
            self.own_signal(end),
            self.rest_signal(lit, end),
            own_targets,
            rest_targets,
            float(self.own_fallen(self.frame, end).sum()) + sum(e for inside, e in mirrored if inside),
            rest_inside,
            float(self.own_fallen(self.round, end).sum()) + sum(e for inside, e in mirrored if not inside),
            rest_outside,
        )

    def _target_signals(self, lit: Which, end: str) -> tuple[Array, Array]:
        """Standing targets of reflectance 0.2, and the ground's own where the ground is asked about."""

        def share(column: int) -> Array:
            return np.where(self.found.flat, self.tables[column, end][self.ground] / light.TARGET, 1.0)

        own = share(self.own_column) * self.found.own if self.own_lit else np.zeros(len(self.found.flat))
        rest = np.zeros(len(own))
        for column, rows, strength in self._by_column(lit, end):
            rest += share(column) * _added(strength, self.others.on_targets[rows])
        return own, rest

    @property
    def touching(self) -> tuple[Ref, ...]:
        """Surfaces in the frame so near to the lamp that the model has no figure for them."""
        near = distinct(self.frame.owners[self.frame.group[self.frame.t < self.own.touching]])
        return tuple(self.raster.scene.owners[i] for i in near)

    def distance(self, ref: Ref) -> float:
        """From a lamp or another camera's infrared to the front glass, m."""
        return float(np.linalg.norm(self.lights.spots[self.lights.index[ref]] - self.raster.origin))

    def contributions(self, state: str = DARK) -> tuple[Contribution, ...]:
        """Surfaces and sources but the camera's own light, those of 2 % or more of the metered light or of the
        veil, largest first.
        """
        if state not in self._told:
            self._told[state] = contributions(self, state)
        return self._told[state]

    def darkened(self, refs: frozenset[Ref]) -> Night:
        """The world in which some more surfaces or sources give nothing but still hide: an exact sum."""
        return replace(self, dark=self.dark | refs, _views={}, _told={}) if refs else self


def _added(strength: Array, rows: Array) -> Array:
    """Rows (k, n) added up by strength (k,), on one thread."""
    return np.asarray(np.einsum("k,kn->n", strength, rows))
