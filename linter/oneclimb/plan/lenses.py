"""Reading a camera's view: an angle, or a lens and its sensor."""

from __future__ import annotations

import math
import re

from oneclimb.plan.here import Here
from oneclimb.plan.model import View
from oneclimb.plan.units import quantity

ACROSS = 100.0
"""degrees: an ordinary 2.8 mm lens, where the plan doesn't say (common practice)"""
RECTILINEAR_TO = 100.0
"""degrees across: wider lenses are taken as equidistant (estimate)"""
_WIDE = re.compile(r"\s*(.+?)\s*wide\s*")
_FORMAT = re.compile(r"\s*1/([0-9.]+)\s*in\s*")


def read_view(here: Here, pixels: tuple[int, int]) -> View | None:
    """The angles across and down the picture, before it is turned. ``None`` with the fault on record."""
    if here.has("view") and here.has("lens"):
        here.fault("lens", "PLAN-32", "`view` and `lens` both say how wide it sees: keep one", at_key=True)
        return None
    down = None
    if here.has("lens"):
        across = here.tried("lens", lambda: _through(here.at("lens"), pixels))
    elif isinstance(here.data.get("view"), dict):
        view = here.at("view")
        across, down = view.maybe("across", "angle"), view.maybe("down", "angle")
    else:
        across = here.size("view", ACROSS, "angle", f"{ACROSS:g} deg across")
    if across is None:
        return None
    if not (1.0 <= across <= 180.0 and (down is None or 1.0 <= down <= 180.0)):
        here.fault("view" if here.has("view") else "lens", "PLAN-16", "a view lies between 1 and 180 deg")
        return None
    if down is None:
        here.note("view.down", "by the picture's shape")
    if across > RECTILINEAR_TO:
        return View(across, down or across * pixels[1] / pixels[0], "equidistant")
    half = math.tan(math.radians(across / 2)) * pixels[1] / pixels[0]
    return View(across, down or math.degrees(2 * math.atan(half)), "rectilinear")


def _through(lens: Here, pixels: tuple[int, int]) -> float:
    """The angle across from focal length and sensor width: 2 atan(w / 2f) (pinhole)."""
    focal = _millimetres(lens.data["focal"])
    width = sensor_width(str(lens.word("sensor", "1/2.8 in")), pixels)
    return math.degrees(2 * math.atan(width / (2 * focal))) if focal > 0 else 180.0


def _millimetres(value: str | float) -> float:
    """A lens's or sensor's size, m; a bare number is in millimetres, as lenses are sold."""
    return quantity(value, "length") if isinstance(value, str) else value / 1000.0


def sensor_width(text: str, pixels: tuple[int, int]) -> float:
    """A sensor's width, m: ``5.6 mm wide``, or its optical format: ``1/2.8 in``.

    A format's diagonal is 18 mm an inch below half an inch, 16 mm an inch from there (sensor-format
    references); the picture's own shape splits it. Formats are not standardised: a width is better.
    """
    wide = _WIDE.fullmatch(text)
    if wide:
        return quantity(wide[1], "length")
    of = _FORMAT.fullmatch(text)
    if not of:
        return quantity(text, "length")
    inch = 1.0 / float(of[1])
    diagonal = inch * (0.018 if inch < 0.5 else 0.016)
    return diagonal * pixels[0] / math.hypot(*pixels)
