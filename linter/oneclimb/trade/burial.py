"""Cover over buried wiring, and distance from mains and lightning conductors.

The depths are those the NEC (NFPA 70 table 300.5, reproduced in print) asks of power wiring. Whether
they bind a network cable is for the local authority: such a cable is a Class 2 circuit (article
725), to which article 300 applies only in parts. Elsewhere other codes rule. Nothing here says that a depth
is lawful; before digging ask for the buried services to be marked. Lengths in m.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

METHODS = ("direct", "metal conduit", "plastic conduit", "protected branch", "30 V control")
"""columns 1 to 5: cable laid in earth; rigid or intermediate metal conduit; plastic conduit listed for burial; a
120 V branch of at most 20 A with a GFCI; control of irrigation and landscape lighting, at most 30 V"""

NETWORK = METHODS[:3]
"""the columns a network cable can be compared with. The last two are kinds of circuit that it is not, however
few its volts: reading 150 mm off column 5 is a common mistake."""

_MM: Mapping[str, tuple[int | None, int, int, int, int]] = MappingProxyType(
    {
        "ground": (600, 150, 450, 300, 150),
        "under 50 mm concrete in the trench": (450, 150, 300, 150, 150),
        "under a building": (None, 0, 0, 0, 0),
        "under a 100 mm slab without vehicles": (450, 100, 100, 150, 150),
        "road": (600, 600, 600, 600, 600),
        "house driveway": (450, 450, 450, 300, 450),
        "airport runway": (450, 450, 450, 450, 450),
    }
)
PLACES = tuple(_MM)
"""rows. "road": streets, alleys, car parks and driveways in general; "house driveway": of a one- or two-family
dwelling, used for it alone; the slab reaches 150 mm past the cable; under a building nothing without a conduit;
"ground": all else. The fourth and fifth columns under a slab are for direct burial."""

MAINS_GAP = 0.05
"""m between communications and power conductors, unless either is in a conduit or sheath or something fixed and
non-conducting is between them (NEC 800.133 and 725.136, as quoted in print)"""
LIGHTNING_GAP = 1.8
"""m from lightning conductors, where practicable (NEC 800.53, 830.44(G)(3))"""

SEGREGATION: Mapping[str, float] = MappingProxyType({"a": 0.3, "b": 0.1, "c": 0.05, "d": 0.01})
"""m without a metal barrier, by the network cable's segregation class: b unscreened (U/UTP) of category 5 to 6A, c
with a foil round it (F/UTP), d with a foil round each pair (S/FTP), a anything poorer (EN 50174-2, from memory,
check against the document)"""
_CIRCUITS = ((3, 0.2), (6, 0.4), (9, 0.6), (12, 0.8), (15, 1.0), (30, 2.0), (45, 3.0), (60, 4.0), (75, 5.0))
"""up to so many circuits of 230 V and 20 A: factor; 6 beyond (EN 50174-2, from memory, check against the document)"""


def cover(method: str, place: str = "ground") -> float | None:
    """Metres of cover the table asks for over one of ``METHODS`` in one of ``PLACES`` (KeyError for others); None:
    not to be laid there in that way at any depth.
    """
    least = dict(zip(METHODS, _MM[place], strict=True))[method]
    return None if least is None else least / 1000


def misread(depth: float, method: str, place: str = "ground") -> bool:
    """Whether ``depth`` m is too shallow by the column of a network cable's own ``method`` and would pass only by a
    column that isn't for network cable.
    """
    own = cover(method, place)
    if own is None or depth >= own:
        return False
    return any((cover(each, place) or 0.0) <= depth for each in METHODS if each not in NETWORK)


def segregation(cable: str, circuits: int) -> float:
    """Metres between a network cable of class a to d and so many mains circuits (1 or more): S·P of EN 50174-2.

    A way of keeping noise out, not a rule of electrical safety (``MAINS_GAP`` is). From memory,
    check against the document.
    """
    factor = next((each for most, each in _CIRCUITS if circuits <= most), 6.0)
    return SEGREGATION[cable] * factor
