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
CLOSER: Mapping[tuple[str, str], str] = {
    ("CABLE-01", "site"): "Look at the line of the cable: solid where it is bare, in long dashes where it is covered.",
    ("GLARE-05", "day"): "Look at the sky in the frame: the sun goes through it.",
    ("GLARE-06", "night"): "Look at the plate: a white patch where it throws the camera's own light straight back.",
    ("LINK-02", "site"): "Look at where the radio stands, and at the walls between it and the camera.",
    ("LOCAL", "site"): "Look at the cameras: how many there are, and how far apart.",
    ("MOUNT-05", "site"): "Look at what the drill and the ladder come near.",
    ("VIEW-02", "day"): "Look at whose ground fills the frame, and at the mask over it.",
    ("VIEW-02", "site"): "Look at the small crosses: there a person on the neighbour's ground shows.",
    ("VIEW-04", "day"): "Look at how large a person is in the wanted ground, which the dashed lines bound.",
    ("VIEW-06", "day"): "Look at the person, drawn to scale: how steeply the camera looks down on the face.",
    ("VIEW-08", "day"): "Look at how much of the wanted ground, which the dashed lines bound, is under the mask.",
    ("VIEW-10", "day"): "Look at what stands in the way: behind it the wanted ground is gone.",
    ("VIEW-11", "day"): "Look at the window of the private room, and at the mask over it.",
}
"""by rule or family, and kind of picture: what to look at where that can be said more closely"""


def family(code: str) -> str:
    """The first part of a rule's code."""
    return code.partition("-")[0]


def shows(code: str) -> Sequence[str]:
    """The kinds of picture that show a rule's mistake, best first."""
    return SHOWS.get(code, SHOWS.get(family(code), ()))


def look(code: str, kind: str) -> str:
    """What to look at in a picture of a kind on a rule's page."""
    keys = ((name, kind) for name in (code, family(code)))
    return next((CLOSER[key] for key in keys if key in CLOSER), LOOK.get(kind, ""))
