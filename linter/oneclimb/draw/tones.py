"""A camera's frame in pixels: by day and by night as it is taken, and what each place of it is worth by night.

Brightness is computed. By day a faint hue, which is not, tells leaves, glass, ground, buildings and sky apart.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref
from oneclimb.study import DARK
from oneclimb.study.picture import DARKNESS, NOTHING, USABLE, WASHED, WHITE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.study.daylight import Daylight
    from oneclimb.study.night_view import NightView
    from oneclimb.study.picture import Fine
    from oneclimb.study.raster import Raster

    Array = NDArray[np.float64]

GAMMA = 2.2
"""linear light is shown as its 1/2.2th power, as screens expect (IEC 61966-2-1's usual approximation)"""
HUES = {
    "sky": (0.86, 0.94, 1.0),
    "leaves": (0.90, 1.0, 0.86),
    "glass": (0.86, 0.96, 1.0),
    "ground": (1.0, 0.97, 0.91),
    "building": (1.0, 0.98, 0.96),
}
"""how much of red, green and blue is shown of a place's brightness; tells surfaces apart and measures nothing"""
CLASSES = {
    DARKNESS: ("too dark", "#2b3136", "\\\\\\\\"),
    USABLE: ("usable", "#8fb2d3", ""),
    WASHED: ("washed out", "#d5d9dc", "...."),
    WHITE: ("too bright", "#ffffff", "xxx"),
    NOTHING: ("sky", "#eceef0", ""),
}
"""by class of place: its name, its grey, its hatch"""
TOLD = 0.004
"""share of the frame above which a class is told"""


def shown(taken: Array) -> Array:
    """A picture in linear light, as a screen shows it."""
    return np.asarray(np.clip(taken, 0.0, 1.0) ** (1.0 / GAMMA))


def day_pixels(day: Daylight) -> Array:
    """(rows, cols, 3) a picture by day as a screen shows it, 0 to 1."""
    hue = np.array([HUES[name] for name in HUES])
    light = shown(day.taken)
    return np.asarray(light[..., None] * hue[_kinds(day.raster)].reshape(*light.shape, 3))


def _kinds(raster: Raster) -> NDArray[np.intp]:
    """(n,) the kind of surface at each place of a frame, as its number in ``HUES``."""
    index, scene = list(HUES), raster.scene
    kinds = np.full(len(raster.t), index.index("building"))
    ground = scene.numbers.get(Ref("site", "site", "ground"), -2)
    kinds[raster.owner == ground] = index.index("ground")
    for name, has in (("leaves", "foliage"), ("glass", "glass")):
        which = np.array([bool(getattr(material, has)) for material in scene.materials] + [False])
        kinds[which[np.where(raster.tri >= 0, scene.material[raster.tri], -1)]] = index.index(name)
    kinds[raster.tri < 0] = index.index("sky")
    return kinds


def night_pixels(fine: Fine, state: str = DARK, view: NightView | None = None) -> Array:
    """(rows, cols) a picture by night as a screen shows it, 0 to 1; ``view`` as for ``Fine.taken``."""
    return shown(fine.taken(state, view))


def shares(fine: Fine, state: str, view: NightView | None = None) -> dict[int, float]:
    """Share of the frame in each class."""
    found = fine.classes(state, view)
    return {one: float((found == one).mean()) for one in CLASSES}


def listed(found: dict[int, float]) -> str:
    """The shares worth telling in words: ``59 % usable, 20 % washed out``."""
    return ", ".join(f"{round(100 * share)} % {CLASSES[one][0]}" for one, share in found.items() if share > TOLD)
