"""Which kinds of picture show each rule's mistake, and what to look at in one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

SITE = "site"
"""the one kind that carries the findings' marks"""
SHOWS: Mapping[str, Sequence[str]] = {
    "CABLE-01": ("side", "site"),
    "CABLE-02": ("site",),
    "CABLE-06": ("volts",),
    "CABLE-08": ("site",),
    "CABLE-09": ("side", "site"),
    "CABLE-11": ("site",),
    "CABLE-13": ("site",),
    "GLARE": ("night",),
    "GLARE-03": ("night lit",),
    "GLARE-05": ("sun", "day"),
    "LINK-02": ("site",),
    "LOCAL": ("site",),
    "MOUNT-01": ("side",),
    "MOUNT-05": ("side", "site"),
    "MOUNT-06": ("side",),
    "POWER-01": ("budget",),
    "POWER-02": ("budget",),
    "POWER-03": ("volts",),
    "POWER-04": ("volts",),
    "POWER-06": ("battery",),
    "POWER-07": ("battery",),
    "POWER-08": ("battery",),
    "RECORD-01": ("storage",),
    "RECORD-03": ("storage",),
    "RECORD-04": ("storage",),
    "RECORD-05": ("site",),
    "SEAL": ("site",),
    "SEAL-04": (),
    "SEAL-05": (),
    "VIEW": ("day",),
    "VIEW-01": ("day", "side"),
    "VIEW-02": ("day", "site"),
    "VIEW-03": ("day", "ground"),
    "VIEW-04": ("day", "ground"),
    "VIEW-05": ("night", "ground"),
    "VIEW-06": ("day", "side"),
    "VIEW-07": ("day", "side"),
    "VIEW-08": ("day", "ground"),
    "VIEW-09": ("night",),
    "VIEW-11": ("day", "site"),
    "VIEW-12": (),
    "VIEW-13": ("night lit",),
}
"""by code of a rule, or else by family: the kinds of picture in which its mistake shows, best first, each with the
state of the lamps where it matters. A kind that can't be drawn is passed over; a rule that is not here has no picture.
"""
ALSO: Mapping[str, str] = {"GLARE": "other"}
"""by family: the kind of picture that explains a finding of its own accord"""
LOOK: Mapping[str, str] = {
    "battery": "Look at how long the charge lasts, and when it is lowest.",
    "budget": "Look at what the cameras draw against what the port and the switch give.",
    "day": "Look at what fills the frame. Dashed lines bound the wanted ground; the figure in it is a person to scale.",
    "ground": "Look at how much of the wanted ground, which is outlined, the shaded ground covers.",
    "night": "Look at the person: drawn dotted, they are lost. Where a second picture stands below, plain is what is "
    "left of the view, hatched what is not.",
    "side": "Look at the heights, and at where the view begins on the ground.",
    "site": "Look at the numbered mark: it stands where the fault is, and the plan's line below has the same number.",
    "storage": "Look at the days that are kept against the days that are wanted.",
    "sun": "Look at when the sun stands in the frame, by date and by clock.",
    "volts": "Look at the volts that are left at the camera against the least it needs.",
}
"""by kind of picture: what to look at"""


def family(code: str) -> str:
    """The first part of a rule's code."""
    return code.partition("-")[0]


def shows(code: str) -> Sequence[str]:
    """The kinds of picture that show a rule's mistake, best first."""
    return SHOWS.get(code, SHOWS.get(family(code), ()))
