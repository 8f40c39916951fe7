"""Sites of any size, for measuring: clusters of six cameras 30 m apart, five objects a camera."""

from __future__ import annotations

import math
from functools import partial

PER_HOUSE = 6
APART = 30.0
WIDE, DEEP = 11.0, 7.0

HEAD = """\
version: 1
units: metres
site: {name: Measured Site, place: [54.1, -2.9], country: nowhere, coast: 12 km, temperature: -8 to 30 C, stage: design}
types:
  turret: {shape: turret, pixels: 2560 x 1440, view: 85 deg, night: infrared, infrared: {range: 30 m, wavelength: 850}}
  dome: {shape: dome, pixels: 2688 x 1520, view: 100 deg, night: infrared, infrared: {range: 25 m, wavelength: 850}}
"""

CAMERA = """\
  - id: {id}
    type: {type}
    mount: {{building: {house}, wall: {wall}, along: {along} m, height: 2.7 m}}
    aim: {{bearing: {bearing}, tilt: 22}}
    watches: [{id}-ground]
    front: clean
    metering: frame
    status-light: dark
    records: motion
    link: cable
    power: {{source: poe, watts: 7 W}}
    rated: [IP67, IK08]
    cable: {{to: cupboard, length: 24 m, seal: gland, sits: box, carries: data+power, conductor: copper}}
"""

OBJECTS = """\
  - {{id: {id}-pipe, kind: downpipe, building: {house}, wall: {wall}, along: {pipe} m}}
  - {{id: {id}-car, kind: car, at: [{x1}, {y1}], there: sometimes}}
  - {{id: {id}-tree, kind: tree, at: [{x2}, {y2}]}}
  - {{id: {id}-post, kind: post, at: [{x3}, {y3}]}}
  - {{id: {id}-bin, kind: bin, at: [{x4}, {y4}], there: always}}
"""

WALLS = (
    ("front", 180, 3.0),
    ("front", 180, 8.5),
    ("right", 90, 3.5),
    ("back", 0, 3.0),
    ("back", 0, 8.5),
    ("left", 270, 3.5),
)


def _out(foot: tuple[float, float], faces: float, metres: float, aside: float) -> tuple[float, float]:
    """A place straight out from a camera's foot, and aside."""
    dx, dy = math.sin(faces), math.cos(faces)
    return round(foot[0] + dx * metres + dy * aside, 2), round(foot[1] + dy * metres - dx * aside, 2)


def site(cameras: int) -> str:
    """A plan with this many cameras, as text."""
    houses = math.ceil(cameras / PER_HOUSE)
    side = math.ceil(math.sqrt(houses))
    buildings, listed, objects, areas = [], [], [], []
    for i in range(cameras):
        house, slot = divmod(i, PER_HOUSE)
        x0, y0 = (house % side) * APART, (house // side) * APART
        name, cam = f"house-{house}", f"cam-{i}"
        if slot == 0:
            buildings.append(
                f"  - {{id: {name}, at: [{x0}, {y0}], front: {{faces: 180, width: 11 m}}, depth: 7 m, "
                "eave: {height: 2.9 m, depth: 0.4 m}, surface: light render}"
            )
        wall, faces, along = WALLS[slot]
        foot = {
            "front": (x0 + along, y0),
            "right": (x0 + WIDE, y0 + along),
            "back": (x0 + WIDE - along, y0 + DEEP),
            "left": (x0, y0 + DEEP - along),
        }[wall]
        out = partial(_out, foot, math.radians(faces))
        (x1, y1), (x2, y2), (x3, y3), (x4, y4) = out(5, 2), out(8, -3), out(3, -2), out(2, 3)
        listed.append(
            CAMERA.format(id=cam, type=("turret", "dome")[i % 2], house=name, wall=wall, along=along, bearing=faces)
        )
        objects.append(
            OBJECTS.format(
                id=cam,
                house=name,
                wall=wall,
                pipe=round(along + 1.2, 2),
                x1=x1,
                y1=y1,
                x2=x2,
                y2=y2,
                x3=x3,
                y3=y3,
                x4=x4,
                y4=y4,
            )
        )
        corners = [out(3, -2), out(3, 2), out(7, 2), out(7, -2)]
        areas.append(
            f"  - {{id: {cam}-ground, for: observe, when: both, height: 1.5 m, points: {[list(c) for c in corners]}}}"
        )
    parts = (
        HEAD,
        "buildings:",
        *buildings,
        "objects:",
        "".join(objects).rstrip(),
        "areas:",
        *areas,
        "cameras:",
        "".join(listed),
    )
    return "\n".join(parts)
