"""Surfaces by name: how much light of each wavelength they send back, diffusely.

Reflectance is a share (0 to 1) at 550, 850 and 940 nm, as low, usual and high. The eye is
a poor guide in the near infrared: grass, leaves and many dark paints and cloths are bright
there, red brick is three times as bright at 850 nm as at 550 nm. Broadband albedo tables
must not be used for it.

Sources, named in each entry:

``earthlib 1.1.0 LEVEL_2/LEVEL_3/SOURCE (n)``  the 10th, 50th and 90th percentile of the n
    spectra of that group in the open library's ``spectra.sli`` (Santa Barbara urban field
    spectra, soil databases, PROSAIL canopies), rounded to one per cent;
``ECOSTRESS (n)``  the range of n laboratory spectra of the ECOSTRESS/ASTER library
    (directional-hemispherical), the middle as usual;
``from memory``  not seen in print, check against the document;
``estimate``  nobody's measurement.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

WAVELENGTHS = (550, 850, 940)
"""nm: the middle of the visible, and the two infrared lamps in use"""


class Band(Struct, frozen=True):
    """A reflectance with its doubt, 0 to 1."""

    low: float
    usual: float
    high: float


class Material(Struct, frozen=True):
    """A surface: diffuse reflectance by wavelength (nm), and how it behaves otherwise.

    ``glass`` mirrors (Fresnel) and returns next to nothing diffusely. ``retro`` is the
    coefficient of retroreflection R_A of reflective sheeting, cd/(lx m²): radiance back
    towards the lamp per irradiance square to the beam, 1/sr.
    """

    id: str
    reflectance: Mapping[int, Band]
    foliage: bool = False
    glass: bool = False
    source: str = ""
    retro: float = 0.0


Percent = tuple[float, float, float]


def _material(
    name: str,
    visible: Percent,
    near: Percent,
    far: Percent,
    source: str,
    *,
    foliage: bool = False,
    glass: bool = False,
    retro: float = 0.0,
) -> Material:
    """An entry of the table below, from per cents at 550, 850 and 940 nm."""
    bands = {
        nm: Band(low / 100, usual / 100, high / 100)
        for nm, (low, usual, high) in zip(WAVELENGTHS, (visible, near, far), strict=True)
    }
    return Material(name, MappingProxyType(bands), foliage, glass, source, retro)


# fmt: off
_TABLE = (
    # walls, soffits and trim
    _material("white paint", (75, 85, 90), (75, 85, 90), (70, 82, 88),
              "from memory (TiO2 white scatters near infrared strongly)"),
    _material("white plastic", (70, 80, 90), (75, 83, 90), (70, 80, 88),
              "from memory; nearest measured: ECOSTRESS white roofing 60 to 73 % at 850 nm"),
    _material("white render", (60, 70, 80), (60, 70, 80), (58, 68, 78), "estimate"),
    _material("light render", (40, 50, 65), (40, 52, 65), (40, 52, 65), "from memory (light stucco)"),
    _material("red brick", (6.5, 9, 13), (24, 25.5, 27), (27, 28, 29), "ECOSTRESS (3)"),
    _material("concrete", (12, 25, 40), (25, 31, 40), (25, 32, 39), "earthlib 1.1.0 built/sidewalk/asd (60)"),
    _material("concrete block", (30, 33, 36), (33, 36, 39), (33, 36, 39), "ECOSTRESS (1), spread: estimate"),
    _material("matt black paint", (2, 4, 6), (3, 5, 8), (3, 5, 8),
              "ECOSTRESS (4 black alkyd paints, 3.7 to 4.2 % at 850 nm); dust and spread: estimate"),
    _material("olive green paint", (20, 22, 24), (42, 55, 65), (43, 55, 64), "ECOSTRESS (4)"),
    _material("paint", (8, 19, 44), (14, 32, 51), (13, 31, 52), "earthlib 1.1.0 built/paint/asd (76)"),
    # wood and metal
    _material("new wood", (47, 48.5, 50), (80, 89, 92), (80, 89, 92), "ECOSTRESS (2 bare pine); low end: estimate"),
    _material("weathered wood", (4, 10, 16), (11, 18, 31), (12, 21, 35), "earthlib 1.1.0 npv/wood/asd (27)"),
    _material("bark", (6, 14, 17), (25, 34, 47), (28, 39, 52), "earthlib 1.1.0 npv/bark/asd (33)"),
    _material("galvanised steel", (4, 17, 30), (8, 16, 24), (6, 14, 21), "ECOSTRESS (3); glints not counted"),
    _material("aluminium", (45, 50, 60), (48, 54, 65), (55, 63, 72), "ECOSTRESS (1 weathered), spread: estimate"),
    _material("metal", (8, 23, 26), (9, 20, 33), (8, 19, 33), "earthlib 1.1.0 built/metal/asd (18)"),
    _material("car paint", (5, 30, 75), (10, 40, 80), (10, 40, 80), "estimate; a white van is white paint"),
    # ground
    _material("ground", (8, 15, 25), (15, 30, 50), (15, 30, 50), "estimate: paving, soil and grass mixed"),
    _material("grass", (11, 17, 24), (50, 55, 59), (51, 55, 59), "ECOSTRESS (5)"),
    _material("asphalt", (5, 9, 15), (6, 11, 19), (6, 11, 19), "earthlib 1.1.0 built/road/asd (170)"),
    _material("soil", (8, 17, 31), (21, 36, 52), (23, 37, 52),
              "earthlib 1.1.0 bare/soil/icraf-isric-soil-database (4168)"),
    _material("sand", (23, 24, 24), (30, 30, 31), (30, 30, 31), "earthlib 1.1.0 bare/sand/asd (39)"),
    _material("gravel", (2, 18, 35), (3, 22, 45), (3, 22, 46), "earthlib 1.1.0 bare/gravel/asd (15)"),
    _material("snow", (95, 98, 99), (84, 89, 94), (75, 82, 90), "ECOSTRESS (4)"),
    # roofs
    _material("clay tile", (7, 8, 10), (23, 25, 33), (25, 27, 36), "earthlib 1.1.0 built/tile/asd (18)"),
    _material("concrete tile", (6, 9, 12), (8, 11, 15), (8, 11, 15), "earthlib 1.1.0 built/concrete_tile/asd (31)"),
    _material("asphalt shingle", (6, 12, 22), (7, 16, 23), (7, 17, 23), "earthlib 1.1.0 built/comp_shingle/asd (353)"),
    _material("wood shingle", (6, 9, 12), (12, 17, 19), (15, 19, 21), "earthlib 1.1.0 built/wood_shingle/asd (34)"),
    # what grows
    _material("green leaves", (5, 8, 14), (35, 45, 55), (35, 44, 53),
              "earthlib 1.1.0 vegetation/canopy/prosail (2000)", foliage=True),
    _material("needles", (10, 16, 23), (48, 59, 71), (47, 58, 69), "ECOSTRESS (39)", foliage=True),
    # cloth, glass, signs
    _material("dark cloth", (2, 5, 10), (5, 45, 80), (5, 50, 80),
              "from memory: dyed black cloth may be bright in infrared, carbon black stays dark"),
    _material("window glass", (0.5, 1, 3), (0.5, 1, 3), (0.5, 1, 3), "estimate (dust); mirrors by Fresnel", glass=True),
    _material("reflective sheeting", (30, 40, 60), (30, 40, 60), (30, 40, 60),
              "estimate; R_A 70 from memory (ASTM D4956 type I, white)", retro=70.0),
    _material("number plate", (30, 45, 60), (30, 45, 60), (30, 45, 60),
              "estimate, R_A 45 too: sheeting and dark letters together, as new (BS AU 145e, ISO 7591 not at hand)",
              retro=45.0),
)
# fmt: on

BUILT_IN: Mapping[str, Material] = MappingProxyType({material.id: material for material in _TABLE})
"""every material by name; a plan's own ``materials`` go over these"""


def reflectance(material: Material, wavelength: int) -> Band:
    """The band at a wavelength (nm): that of the nearest column the material has."""
    nearest = min(material.reflectance, key=lambda nm: abs(nm - wavelength))
    return material.reflectance[nearest]
