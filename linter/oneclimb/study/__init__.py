"""The studies: everything dear, computed once a subject and world, shared by all rules.

This file is the catalogue: names and types only, so that a rule module can name a study
without importing numpy. What a study computes stands in its own module.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Study

if TYPE_CHECKING:
    from collections.abc import Mapping

    from oneclimb.place.scene import Scene
    from oneclimb.plan.model import Box, Cable, Camera, Connector, Recorder, Site
    from oneclimb.study.after_dark import AfterDark
    from oneclimb.study.cable_sun import Sunlit
    from oneclimb.study.chart import Chart
    from oneclimb.study.climb import Climb
    from oneclimb.study.cover import Cover
    from oneclimb.study.covered import Covered
    from oneclimb.study.daylight import Daylight
    from oneclimb.study.drop import Drop
    from oneclimb.study.earshot import Heard
    from oneclimb.study.filmed import Filmed
    from oneclimb.study.load import Load
    from oneclimb.study.moving import Hides
    from oneclimb.study.night import Night
    from oneclimb.study.others import Others
    from oneclimb.study.pane import Behind
    from oneclimb.study.path import Path
    from oneclimb.study.picture import Fine
    from oneclimb.study.private import Private
    from oneclimb.study.rain import Shelter
    from oneclimb.study.raster import Raster
    from oneclimb.study.retro import Returned
    from oneclimb.study.run import Run
    from oneclimb.study.samples import Samples
    from oneclimb.study.shade import Shade
    from oneclimb.study.side import Side
    from oneclimb.study.sources import Lights
    from oneclimb.study.standing import Peer, Standing
    from oneclimb.study.store import Store
    from oneclimb.study.sun import Sun, Suns
    from oneclimb.study.things import Things
    from oneclimb.study.triggered import Triggered
    from oneclimb.study.turns import Turns
    from oneclimb.study.warmed import Warmed
    from oneclimb.study.way import Crossing, Way

SCENE: Study[Site, Scene] = Study("scene", "oneclimb.study.scene:compute", keep="run", vary="oneclimb.study.scene:vary")
"""The solids of the place, ready to be cast at."""

THINGS: Study[Site, Things] = Study(
    "things", "oneclimb.study.things:compute", keep="run", vary="oneclimb.study.things:vary"
)
"""What stands on the site, sorted by what it does and where it stands."""

RASTER: Study[Camera, Raster] = Study("raster", "oneclimb.study.raster:compute", vary="oneclimb.study.raster:vary")
"""What every ray of a camera's frame meets."""

FINE: Study[Camera, Raster] = Study("fine raster", "oneclimb.study.raster:finely", vary="oneclimb.study.raster:vary")
"""The same on as many rays as a drawing of the frame asks for."""

SAMPLES: Study[Site, Samples] = Study(
    "samples", "oneclimb.study.samples:compute", keep="run", vary="oneclimb.study.samples:vary"
)
"""The world-fixed points of areas, land and windows that every camera is asked about."""

COVER: Study[Camera, Cover] = Study("cover", "oneclimb.study.cover:compute", vary="oneclimb.study.cover:vary")
"""Samples of wanted ground, neighbours' ground and windows: in the frame, hidden by what, px/m, angle."""

COVERED: Study[Site, Covered] = Study(
    "covered", "oneclimb.study.covered:compute", keep="run", vary="oneclimb.study.covered:vary"
)
"""Every wanted area as all cameras for it show it together: seen, hidden by what, px/m, masked."""

TURNS: Study[Camera, Turns] = Study("turns", "oneclimb.study.turns:compute", vary="oneclimb.study.turns:vary")
"""What the frame would be spent on if the camera were turned or tilted; asked for only where it matters."""

LIGHTS: Study[Site, Lights] = Study(
    "lights", "oneclimb.study.lights:compute", keep="run", vary="oneclimb.study.lights:vary"
)
"""Every lamp and camera illuminator of the site, in threshold units."""

NIGHT: Study[Camera, Night] = Study(
    "night", "oneclimb.study.night_build:compute", vary="oneclimb.study.night_build:vary"
)
"""The picture after dark: light, stray light, exposure, where a person is usable."""

PICTURE: Study[Camera, Fine] = Study("picture", "oneclimb.study.picture:compute", vary="oneclimb.study.picture:vary")
"""The frame after dark, fine enough to be drawn, as the night study says it is taken."""

DAYLIGHT: Study[Camera, Daylight] = Study(
    "daylight", "oneclimb.study.daylight:compute", vary="oneclimb.study.daylight:vary"
)
"""The frame by day, under a clear sky at a stated hour or under cloud, fine enough to be drawn."""

CHART: Study[Camera, Chart] = Study("chart", "oneclimb.study.chart:compute")
"""The ground about a camera, place by place: what it sees of it, how finely, and what is left of that by night."""

SIDE: Study[Camera, Side] = Study("side", "oneclimb.study.side:compute")
"""A camera from the side: an upright cut along its heading, the frame's edges in it, its light, who stands along it."""

PATH: Study[Camera, tuple[Path, ...]] = Study("path", "oneclimb.study.path:compute")
"""The straight ways from a camera's aerial to the access points, and the walls, panes and floors on them."""

AFTER_DARK: Study[Camera, AfterDark] = Study("after dark", "oneclimb.study.after_dark:compute")
"""How much of the wanted night ground the cameras together can use, and at what light they switch."""

RUN: Study[Cable, Run] = Study("run", "oneclimb.study.run:compute")
"""A cable cut in short stretches: height above where someone can stand, sun, cover."""

SHELTER: Study[Connector | Box | Camera, Shelter] = Study("shelter", "oneclimb.study.rain:shelter")
"""How much of wind-driven rain's directions reach a connector, a box or a camera's housing."""

DARK, ALL = "(dark)", "(all)"
"""States of the night's lights that are not named after a lamp: every lamp out, every lamp lit. No id has brackets."""

WIRING: Study[Site, Mapping[str, tuple[Cable, ...]]] = Study("wiring", "oneclimb.study.run:wiring", keep="run")
"""The cables of each camera, by the camera's id."""

LOAD: Study[Site, Load] = Study("load", "oneclimb.study.load:compute", keep="run")
"""Who feeds and carries whom: cameras, their cables, switches, injectors, recorders and supplies."""

DROP: Study[Camera, Drop | None] = Study("drop", "oneclimb.study.drop:compute")
"""The volts of a camera that is fed over a wire, from where they come from to its own end."""

STORE: Study[Camera, Store] = Study("store", "oneclimb.study.store:compute")
"""A camera's own battery: what a day takes of it, how long it lasts in the cold, how it fares in a year."""

SUNS: Study[Site, Suns] = Study("suns", "oneclimb.study.sun:year", keep="run", vary="oneclimb.study.sun:same_year")
"""Where the sun stands in the year, once a site."""

SUN: Study[Camera, Sun] = Study("sun", "oneclimb.study.sun:compute", vary="oneclimb.study.sun:vary")
"""When in the year the sun stands in a camera's frame, what hides it, and near what is wanted."""

WAY: Study[Cable, Way] = Study("way", "oneclimb.study.way:compute")
"""Where a cable's route leads: metres in and out of doors, from which building to which, how near the mains."""

CROSSING: Study[Cable, Crossing] = Study("crossing", "oneclimb.study.way:crossing")
"""From which building, shed or pole to which a cable goes outdoors, and how far."""

SUNLIT: Study[Cable, Sunlit] = Study("sunlit", "oneclimb.study.cable_sun:compute")
"""Hours of the year in which the sun stands on a cable's bare stretches."""

STANDING: Study[Camera, Standing] = Study("standing", "oneclimb.study.standing:standing")
"""How high a camera's housing is above where someone can stand."""

PEER: Study[Camera, Peer] = Study("peer", "oneclimb.study.standing:peer")
"""How near an eye can come to a camera's infrared, in its beam."""

WARMED: Study[Camera, Warmed] = Study("warmed", "oneclimb.study.warmed:compute")
"""How often and how strongly the summer's sun can stand on a camera's housing."""

CLIMB: Study[Camera, Climb] = Study("climb", "oneclimb.study.climb:compute")
"""The work at a camera: how high, where a ladder's foot stands, what a drill or ladder keeps away from."""

EARSHOT: Study[Camera, tuple[Heard, ...]] = Study("earshot", "oneclimb.study.earshot:compute")
"""Others' ground, and how far it is from a camera's microphone."""

PRIVATE: Study[Camera, tuple[Private, ...]] = Study("private", "oneclimb.study.private:compute")
"""Private areas, and windows of private rooms: how well a camera shows each."""

MOVING: Study[Camera, tuple[Hides, ...]] = Study("moving", "oneclimb.study.moving:compute")
"""What each thing that is there only sometimes hides of a camera's wanted ground."""

RETRO: Study[Camera, tuple[Returned, ...]] = Study("retro", "oneclimb.study.retro:compute")
"""Number plates and signs in a camera's frame: how bright its own light makes them against the exposure."""

SHADE: Study[Camera, Shade] = Study("shade", "oneclimb.study.shade:compute")
"""The light on a camera's solar panel month by month, what stands about it taken into account."""

OTHERS: Study[Site, Others] = Study(
    "others", "oneclimb.study.others:compute", keep="run", vary="oneclimb.study.others:vary"
)
"""Neighbours' ground and windows and the public way, as each camera that shows some of it does, by the camera's id."""

FILMED: Study[Recorder, Filmed | None] = Study("filmed", "oneclimb.study.filmed:compute")
"""How near a recorder stands to the ground its own cameras film."""

TRIGGERED: Study[Camera, Triggered] = Study("triggered", "oneclimb.study.triggered:compute")
"""What of a trigger's zone is a public way, and how the wanted ways in it lie to the line of sight."""

PANE: Study[Camera, Behind] = Study("pane", "oneclimb.study.pane:compute")
"""What a pane before a camera does to its night: its own light, the room behind it, a status light, lamps outside."""
