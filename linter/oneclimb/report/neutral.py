"""Which defaults a reader wants to see, and which go without saying.

A neutral default adds nothing to the place and takes nothing away: no pane, no masks, upright,
standing on the ground. The text forms only count those; json holds every one. A default that is
in neither list (a pack's own) is shown.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from oneclimb.plan.model import Assumed

Field = tuple[str, str]
"""kind of thing and field, ``*`` for an entry of a list: ``("cable", "route.*.cover")``"""

_LISTED = re.compile(r"(windows|masks|route|contents)\..+\.([^.]+)")
_NOTHING = ("0 m", "0 in")


def general(item: Assumed) -> Field:
    """The field without the entry's own id or number."""
    return item.kind, _LISTED.sub(r"\1.*.\2", item.field)


def is_neutral(item: Assumed) -> bool:
    """Whether a default goes without saying."""
    field = general(item)
    return field in NEUTRAL or item.taken in SHOWN.get(field, ())


SHOWN: Mapping[Field, tuple[str, ...]] = MappingProxyType(
    {
        ("site", "stage"): (),
        ("site", "units"): (),
        ("building", "eave"): (),
        ("building", "eave.depth"): (),
        ("building", "eave.height"): (),
        ("building", "eave.surface"): (),
        ("building", "height"): (),
        ("building", "storey-height"): (),
        ("building", "surface"): (),
        ("building", "windows"): (),
        ("building", "windows.*.surface"): (),
        ("object", "along"): (),
        ("object", "deep"): (),
        ("object", "diameter"): (),
        ("object", "fixed-by"): ("own",),
        ("object", "height"): _NOTHING,
        ("object", "out"): (),
        ("object", "stand"): ("can't be stood on",),
        ("object", "surface"): (),
        ("object", "tall"): (),
        ("object", "there"): ("always",),
        ("object", "to.along"): (),
        ("object", "to.height"): _NOTHING,
        ("object", "trunk.diameter"): (),
        ("object", "trunk.height"): (),
        ("object", "wide"): (),
        ("area", "along"): (),
        ("area", "height"): (),
        ("area", "out"): (),
        ("lamp", "aim"): ("no aim",),
        ("lamp", "aim.along"): (),
        ("lamp", "aim.height"): _NOTHING,
        ("lamp", "along"): (),
        ("lamp", "beam"): (),
        ("lamp", "height"): (),
        ("camera", "aim"): (),
        ("camera", "aim.along"): (),
        ("camera", "aim.bearing"): (),
        ("camera", "aim.height"): _NOTHING,
        ("camera", "aim.tilt"): (),
        ("camera", "behind.surface"): (),
        ("camera", "colour"): (),
        ("camera", "front"): (),
        ("camera", "infrared.beam"): (),
        ("camera", "infrared.wavelength"): (),
        ("camera", "lens.sensor"): (),
        ("camera", "link"): (),
        ("camera", "masks.*.set"): (),
        ("camera", "metering"): (),
        ("camera", "mount.along"): (),
        ("camera", "mount.height"): (),
        ("camera", "mount.out"): _NOTHING,
        ("camera", "night"): (),
        ("camera", "pixels"): (),
        ("camera", "power.panel.along"): (),
        ("camera", "power.panel.height"): (),
        ("camera", "shape"): (),
        ("camera", "view"): (),
        ("camera", "wireless.to"): (),
        ("box", "along"): (),
        ("box", "height"): (),
        ("cable", "carries"): (),
        ("cable", "connectors"): (),
        ("cable", "route.*.along"): (),
        ("cable", "route.*.cover"): (),
        ("cable", "route.*.height"): (),
        ("conduit", "contents.*.carries"): (),
        ("connector", "along"): (),
        ("connector", "carries"): (),
        ("connector", "height"): (),
        ("switch", "along"): (),
        ("switch", "height"): (),
        ("supply", "along"): (),
        ("supply", "height"): (),
        ("recorder", "along"): (),
        ("recorder", "height"): (),
        ("access-point", "along"): (),
        ("access-point", "height"): (),
        ("proof", "of"): (),
    }
)
"""What could matter, each with what is neutral among what it can be taken as."""

NEUTRAL: frozenset[Field] = frozenset(
    {
        ("site", "plus-y"),
        ("building", "at"),
        ("building", "base"),
        ("building", "eave.thickness"),
        ("building", "eave.walls"),
        ("building", "flat-roof"),
        ("building", "neighbour"),
        ("building", "storeys"),
        ("land", "frontage"),
        ("land", "kind"),
        ("object", "grows"),
        ("object", "storey"),
        ("object", "to.out"),
        ("object", "to.storey"),
        ("object", "turned"),
        ("object", "wanted"),
        ("area", "private"),
        ("area", "when"),
        ("lamp", "aim.out"),
        ("lamp", "aim.storey"),
        ("lamp", "out"),
        ("lamp", "shade"),
        ("lamp", "storey"),
        ("camera", "aim.out"),
        ("camera", "aim.storey"),
        ("camera", "behind"),
        ("camera", "hood"),
        ("camera", "infrared.dims"),
        ("camera", "masks"),
        ("camera", "mount.arm"),
        ("camera", "mount.storey"),
        ("camera", "mount.to"),
        ("camera", "moves"),
        ("camera", "power.panel.out"),
        ("camera", "power.panel.storey"),
        ("camera", "sits"),
        ("camera", "turned"),
        ("camera", "view.down"),
        ("camera", "watches"),
        ("box", "out"),
        ("box", "storey"),
        ("cable", "armoured"),
        ("cable", "kind"),
        ("cable", "route.*.out"),
        ("cable", "route.*.storey"),
        ("conduit", "contents.*.count"),
        ("connector", "at"),
        ("connector", "out"),
        ("connector", "storey"),
        ("switch", "out"),
        ("switch", "storey"),
        ("supply", "out"),
        ("supply", "storey"),
        ("recorder", "out"),
        ("recorder", "storey"),
        ("access-point", "out"),
        ("access-point", "storey"),
        ("material", "foliage"),
        ("material", "glass"),
        ("material", "retro"),
    }
)
