"""The light model's constants: one place, each with low, usual and high and where it comes from.

A plan may override any of them by name under ``model:``, with one number or with
low, usual and high. Where the built-in low and high are the usual value, that value alone
is reckoned with: ends a plan gives such a constant make no figure less sure. The reflectance
of the standing target, 0.2, is no constant here: the unit of signal is made of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Protocol

from msgspec import Struct


class Constant(Struct, frozen=True):
    """A constant with its doubt. ``unit`` is ``""`` for a ratio."""

    name: str
    low: float
    usual: float
    high: float
    unit: str
    about: str
    source: str


class Overridden(Protocol):
    """Whatever carries a plan's own values of the constants."""

    @property
    def constants(self) -> Mapping[str, float | tuple[float, float, float]]:
        """Constant's name to its value, or to its low, usual and high."""


_LIST = (
    # stray light
    Constant("glare-inside", 0.01, 0.02, 0.04, "",
             "veil's share of the light that falls on the front glass from inside the frame",
             "estimate; from memory: veiling glare index of an ordinary coated lens 1 to 3 %, definition ISO 9358"),
    Constant("glare-outside", 0.01, 0.02, 0.04, "",
             "the same for light from outside the frame, dome or flat cover", "estimate"),
    Constant("glare-outside-hooded", 0.002, 0.004, 0.008, "",
             "the same for a recessed or hooded front", "estimate"),
    Constant("dirt", 2.0, 3.0, 5.0, "", "how many times more a dirty or hazed front strays",
             "estimate; from memory: dirty cover 3 to 10 % where clean is 1 to 3 %"),
    Constant("hood-angle", 55.0, 55.0, 55.0, "deg", "a hood keeps off light from farther off the axis than this",
             "estimate"),
    # sources
    Constant("ring-radius", 0.03, 0.03, 0.03, "m", "radius of the ring of infrared LEDs round a lens", "estimate"),
    Constant("touching", 0.1, 0.1, 0.1, "m", "nearer than this a surface touches the lamp: no figure", "estimate"),
    Constant("widest-half-beam", 80.0, 80.0, 80.0, "deg", "an LED pattern's half angle goes no wider", "estimate"),
    Constant("other-wavelength", 0.45, 0.45, 0.45, "",
             "share of an 850 nm lamp's light that serves a camera made for 940 nm, and the reverse",
             "common practice, from memory: 0.4 to 0.5"),
    Constant("threshold-white-led", 0.07, 0.2, 0.6, "lx",
             "white LED light on a surface of reflectance 0.2 that gives the threshold signal",
             "estimate: a 30 m illuminator of 1 to 2 W/sr gives 1.1 to 2.2 mW/m2 there; 300 lm/W of white LED light; "
             "a silicon sensor 0.3 to 0.5 as sensitive at 850 nm as in the visible"),
    Constant("threshold-fluorescent", 0.07, 0.2, 0.6, "lx", "the same, fluorescent", "estimate, as white LED"),
    Constant("threshold-sodium", 0.05, 0.15, 0.5, "lx", "the same, high-pressure sodium",
             "estimate: a strong line near 819 nm"),
    Constant("threshold-halogen", 0.02, 0.06, 0.2, "lx", "the same, halogen",
             "estimate: three times the infrared per lumen"),
    Constant("threshold-incandescent", 0.015, 0.05, 0.15, "lx", "the same, incandescent", "estimate, as halogen"),
    # the picture
    Constant("exposure", 0.18, 0.18, 0.18, "", "mean of the clipped picture that the metering aims at",
             "estimate; ISO 12232 puts 18 % grey at 12.7 % of saturation"),
    Constant("full-scale", 1000.0, 1000.0, 1000.0, "", "full scale over the threshold signal at full gain",
             "estimate: signal to noise 3 with 10 ke- full well and 2 e- read noise; 300 to 3000 are met with"),
    Constant("white", 0.98, 0.98, 0.98, "", "share of full scale from which a target is blown out", "estimate"),
    Constant("contrast", 0.5, 0.5, 0.5, "", "share of the veil that a target's own signal must exceed", "estimate"),
    Constant("margin", 0.5, 0.5, 0.5, "stops", "doubt of the margin by which a target is usable", "estimate"),
    Constant("dim-white", 0.02, 0.02, 0.02, "",
             "share of white pixels down to which a camera dims its own infrared", "estimate"),
    Constant("dim-floor", 0.05, 0.05, 0.05, "", "share of its infrared to which a camera dims at most", "estimate"),
    # targets and surfaces
    Constant("retro-angle", 1.0, 1.0, 1.0, "deg", "angle from lamp to lens at which sheeting returns half", "estimate"),
    Constant("pane-index", 1.52, 1.52, 1.52, "", "refractive index of a pane: glass",
             "textbook; acrylic 1.49, polycarbonate 1.586"),
    # a pane before the camera
    Constant("coated-pane", 0.2, 0.2, 0.2, "", "share of near infrared that a metal-coated pane lets through",
             "estimate; from memory: 0.1 to 0.5 by the coating"),
    Constant("room-light", 50.0, 50.0, 50.0, "lx", "light on the walls of a lit room behind the camera",
             "lux tables as quoted in print: living room 50 lx"),
    Constant("room-walls", 0.5, 0.5, 0.5, "", "reflectance of a room as it is mirrored in the pane", "estimate"),
    Constant("status-light", 0.01, 0.01, 0.01, "cd", "intensity of a camera's status light", "estimate"),
    # economy
    Constant("prune", 0.05, 0.05, 0.05, "", "light below this share of the threshold or of the own is left out "
             "and carried as doubt", "estimate"),
)  # fmt: skip

CONSTANTS: Mapping[str, Constant] = MappingProxyType({c.name: c for c in _LIST})
"""every constant by name"""


def constant(plan: Overridden, name: str) -> Constant:
    """A constant as the plan has it: its own value over the built-in one.

    A single number leaves no doubt: low, usual and high are the same.
    """
    base = CONSTANTS[name]
    own = plan.constants.get(name)
    if own is None:
        return base
    low, usual, high = own if isinstance(own, tuple) else (own, own, own)
    return Constant(name, low, usual, high, base.unit, base.about, "the plan's own")
