"""Wireless links: path loss, what walls take, the level received and the rate it allows.

Levels are dBm, losses dB, frequencies MHz, lengths m, angles degrees from the wall's normal.
A level reckoned from a drawing is good to 10 dB at best; one measured where the camera will
hang outranks it.
"""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

Range = tuple[float, float, float]
"""low, usual, high"""

MODEL = 10.0
"""dB either way of a reckoned level (common practice: walls, furniture and fading are never as drawn)"""
MEASURED = 3.0
"""dB either way of a measured one: it swings as people and doors move (estimate)"""
FADE = 10.0
"""dB kept above the receiver's sensitivity (common practice)"""

BANDS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"2.4 GHz": (2440.0, 20.0), "5 GHz": (5500.0, 23.0), "6 GHz": (6200.0, 23.0)}
)
"""a frequency in the middle (MHz) and the usual e.i.r.p. (dBm): from memory, check against the country's rules
(Europe: EN 300 328, EN 301 893)"""
GAIN = 2.0
"""dBi of a camera's own aerial (estimate)"""

# ------------------------------------------------------------------------ through the air


def free_space(mhz: float, metres: float) -> float:
    """Basic transmission loss in free space, dB: 32.4 + 20 log f + 20 log d[km]. Source: ITU-R P.525-5.

    Far field only: distances under 1 m count as 1 m.
    """
    return 32.4 + 20.0 * math.log10(mhz) + 20.0 * math.log10(max(metres, 1.0) / 1000.0)


Site = Literal["office seen", "office", "corridor seen", "corridor", "industrial seen", "industrial"]

INDOOR: Mapping[Site, tuple[float, float, float, float]] = MappingProxyType(
    {
        "office seen": (1.46, 34.62, 2.03, 3.76),
        "office": (2.46, 29.53, 2.38, 5.04),
        "corridor seen": (1.63, 28.12, 2.25, 4.07),
        "corridor": (2.77, 29.27, 2.48, 7.63),
        "industrial seen": (2.31, 24.52, 2.06, 2.69),
        "industrial": (3.79, 21.01, 1.34, 9.05),
    }
)
"""α, β, γ and standard deviation (dB), with the other end in sight and not. Source: ITU-R P.1238-11 Table 2, as
printed in code made from it; office 0.3 to 82 GHz, 2 to 27 m in sight, 4 to 30 m out of sight."""


def indoor(mhz: float, metres: float, site: Site) -> tuple[float, float]:
    """Median loss within a storey and its standard deviation, dB: 10 α log d + β + 10 γ log f[GHz].

    Walls and furniture of such a site are in it: none are added. Source: ITU-R P.1238-11.
    """
    alpha, beta, gamma, spread = INDOOR[site]
    loss = 10.0 * alpha * math.log10(max(metres, 1.0)) + beta + 10.0 * gamma * math.log10(mhz / 1000.0)
    return loss, spread


HOME, OFFICE = 28.0, 30.0
"""distance loss coefficients N at 2.4 GHz for ``indoor_by_floors`` (ITU-R P.1238 to edition 9; home from memory)"""
HOME_FLOOR = 4.0
"""dB a storey in a home (ITU-R P.1238 to edition 9, from memory)"""


def indoor_by_floors(mhz: float, metres: float, n: float, floors: float = 0.0) -> float:
    """Loss in a building by the older form, dB: 20 log f + N log d + floors (dB) - 28, d at least 1 m.

    Source: ITU-R P.1238 up to edition 9; 0.9 to 100 GHz.
    """
    return 20.0 * math.log10(mhz) + n * math.log10(max(metres, 1.0)) + floors - 28.0


# ------------------------------------------------------------------------ through walls

MATERIALS: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "concrete": (5.24, 0.0462, 0.7822),
        "brick": (3.91, 0.0238, 0.16),
        "plasterboard": (2.73, 0.0085, 0.9395),
        "wood": (1.99, 0.0047, 1.0718),
        "glass": (6.31, 0.0036, 1.3394),
        "chipboard": (2.58, 0.0217, 0.78),
        "metal": (1.0, 1e7, 0.0),
    }
)
"""relative permittivity, and c, d of the conductivity c·f[GHz]^d in S/m. Source: ITU-R P.2040 Table 3, 1 to 100 GHz
(brick to 40), as printed in the open package sionna-rt 2.2.0"""

OPAQUE = 60.0
"""dB: no wall takes more, for what goes round it and through its openings then counts (estimate)"""
FLAT: Mapping[str, float] = MappingProxyType({"low-e glass": 25.0, "foil": 25.0, "cavity": 0.0, "insulation": 0.0})
"""dB of what has no slab: metallised glass and foil-backed board 20 to 30 and more (from memory), air and wool none"""


class Layer(Struct, frozen=True):
    """One leaf of a wall: a material of ``MATERIALS`` or ``FLAT``, and its thickness, m."""

    material: str
    thickness: float


class LayerError(LookupError):
    """A wall described by a word that is not known, or a thickness where none belongs; the message lists the words."""


_BOARD = Layer("plasterboard", 0.0125)
WORDS: Mapping[str, tuple[Layer, ...]] = MappingProxyType(
    {
        "brick": (Layer("brick", 0.1025),),
        "block": (Layer("concrete", 0.1),),
        "concrete": (Layer("concrete", 0.2),),
        "plasterboard": (_BOARD,),
        "drywall": (_BOARD,),
        "wood": (Layer("wood", 0.04),),
        "chipboard": (Layer("chipboard", 0.018),),
        "glass": (Layer("glass", 0.004),),
        "metal": (Layer("metal", 0.001),),
        "low-e glass": (Layer("low-e glass", 0.0),),
        "foil": (Layer("foil", 0.0),),
        "cavity": (Layer("cavity", 0.0),),
        "insulation": (Layer("insulation", 0.0),),
        "stud wall": (_BOARD, _BOARD),
        "cavity wall": (Layer("brick", 0.1025), Layer("concrete", 0.1)),
        "double glazing": (Layer("glass", 0.004), Layer("glass", 0.004)),
    }
)
"""what a word stands for, with the usual thickness where none is written (common practice; a block is taken as
concrete, which no light or aerated block is: estimate)"""

_UNITS: Mapping[str, float] = MappingProxyType({"mm": 1000.0, "cm": 100.0, "m": 1.0, "in": 1 / 0.0254})
"""of each in a metre"""
_PIECE = re.compile(r"([a-z][a-z -]*?)(?: +([0-9]{1,6}(?:\.[0-9]{1,6})?) *(mm|cm|m|in))?")


def layers(text: str) -> tuple[Layer, ...]:
    """The leaves of a wall written like ``brick 102 mm + cavity + block 100 mm``; raises ``LayerError``."""
    return tuple(layer for piece in text.lower().split("+") for layer in _piece(piece.strip()))


def _piece(piece: str) -> tuple[Layer, ...]:
    found = _PIECE.fullmatch(piece)
    known = WORDS.get(found[1]) if found else None
    if not found or not known:
        raise LayerError(f"no wall is known as {piece!r}: write {', '.join(WORDS)}, with a thickness such as 215 mm")
    if found[2] is None or known[0].material in ("cavity", "insulation"):
        return known
    if len(known) > 1 or known[0].material in FLAT:
        raise LayerError(f"{found[1]} has no one thickness: write it without, or its leaves one by one")
    return (Layer(known[0].material, float(found[2]) / _UNITS[found[3]]),)


def permittivity(material: str, mhz: float) -> complex:
    """Complex relative permittivity η = ε - j 17.98 σ/f[GHz] of a material of ``MATERIALS``. Source: ITU-R P.2040."""
    ghz = mhz / 1000.0
    real, c, d = MATERIALS[material]
    return complex(real, -17.98 * c * ghz**d / ghz)


def slab_loss(layer: Layer, mhz: float, angle: float = 0.0) -> float:
    """What one slab in air takes, dB, 0 to ``OPAQUE``: the mean power of the two polarisations.

    ``angle`` 0 to below 90. With all reflections inside, T = (1 - r²) e^(-jq) / (1 - r² e^(-2jq)),
    q = 2π d/λ √(η - sin²θ), r Fresnel's for TE and TM. Source: ITU-R P.2040, the slab of one layer
    (equation from memory; the tests hold it against a transfer-matrix library).
    """
    if layer.material in FLAT:
        return FLAT[layer.material]
    eta = permittivity(layer.material, mhz)
    cos = math.cos(math.radians(angle))
    root = cmath.sqrt(eta - math.sin(math.radians(angle)) ** 2)
    once = cmath.exp(-2j * math.pi * layer.thickness * mhz / 299.792458 * root)
    faces = ((cos - root) / (cos + root), (eta * cos - root) / (eta * cos + root))
    power = sum(abs((1 - r * r) * once / (1 - r * r * once * once)) ** 2 for r in faces) / 2
    return -10.0 * math.log10(max(power, 10.0 ** (-OPAQUE / 10.0)))


def wall_loss(wall: Iterable[Layer], mhz: float, angle: float = 0.0) -> float:
    """What a wall takes, dB, at most ``OPAQUE``: its leaves' losses added, without waves standing between them."""
    return min(sum(slab_loss(layer, mhz, angle) for layer in wall), OPAQUE)


# ------------------------------------------------------------------------ at the receiver


def received(eirp: float, path: float, walls: float, gain: float = GAIN) -> Range:
    """Low, usual and high level, dBm, from e.i.r.p. (dBm), path and walls (dB) and the aerial's gain (dBi)."""
    usual = eirp + gain - path - walls
    return usual - MODEL, usual, usual + MODEL


def measured(dbm: float) -> Range:
    """A level read off at the place itself, with the little doubt it has; it outranks any that is reckoned."""
    return dbm - MEASURED, dbm, dbm + MEASURED


def verdict(level: Range, needed: float) -> Literal["good", "doubtful", "poor"]:
    """How a link stands, from its range of levels and the level it needs (margin included), dBm."""
    if level[0] >= needed:
        return "good"
    return "doubtful" if level[2] >= needed else "poor"


SENSITIVITY: Mapping[int, tuple[float, ...]] = MappingProxyType(
    {
        width: tuple(dbm + 3.0 * step for dbm in (-82, -79, -77, -74, -70, -66, -65, -64, -59, -57, -54, -52))
        for step, width in enumerate((20, 40, 80, 160))
    }
)
"""dBm at which a receiver must still read all but 10 % of packets, by width (MHz) and MCS 0 to 11. Source: IEEE
802.11 HT, VHT and HE, as printed in a national radio regulation. Good receivers do several dB better."""

_BITS = (1, 2, 2, 4, 4, 6, 6, 6, 8, 8, 10, 10)
_CODE = (1 / 2, 1 / 2, 3 / 4, 1 / 2, 3 / 4, 2 / 3, 3 / 4, 5 / 6, 3 / 4, 5 / 6, 3 / 4, 5 / 6)
_SHORT = MappingProxyType({20: 52, 40: 108, 80: 234, 160: 468})
_LONG = MappingProxyType({20: 234, 40: 468, 80: 980, 160: 1960})

Generation = Literal["n", "ac", "ax"]


def rates(width: int, generation: Generation, streams: int = 1) -> tuple[float, ...]:
    """Mbit/s on the air by MCS, for a width of 20, 40, 80 or 160 MHz (n: 20 or 40); KeyError for another.

    Data subcarriers × coded bits / symbol with a guard of 0.8 µs: 4 µs for n (HT) and ac (VHT),
    13.6 µs for ax (HE). Source: IEEE 802.11, from memory; the tests hold it against printed tables.
    """
    carriers = {"n": {w: _SHORT[w] for w in (20, 40)}, "ac": _SHORT, "ax": _LONG}[generation][width]
    # VHT's MCS 9 at 20 MHz would carry no whole number of bits a symbol
    top = {"n": 8, "ac": 9 if width == 20 else 10, "ax": 12}[generation]
    symbol = 13.6 if generation == "ax" else 4.0
    each = carriers * streams / symbol
    return tuple(each * bits * code for bits, code in zip(_BITS[:top], _CODE[:top], strict=True))


def rate_at(dbm: float, width: int, generation: Generation, streams: int = 1) -> tuple[int, float] | None:
    """The highest MCS a level allows and its Mbit/s on the air; none below the level of MCS 0."""
    steps = list(enumerate(zip(SENSITIVITY[width], rates(width, generation, streams), strict=False)))
    heard = [(mcs, rate) for mcs, (need, rate) in steps if dbm >= need]
    return heard[-1] if heard else None


def level_for(mbits: float, width: int, generation: Generation, streams: int = 1) -> float | None:
    """The least level, dBm, without margin, at which the rate on the air is ``mbits``; none where none is that high."""
    pairs = zip(SENSITIVITY[width], rates(width, generation, streams), strict=False)
    return next((need for need, rate in pairs if rate >= mbits), None)
