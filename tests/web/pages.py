"""Pages for the tests: real reviews, with pictures of our own where the real ones would only cost time."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, named
from oneclimb.review import Review, world_of
from oneclimb.web.page import page

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PLAN = """\
units: metres
site: {name: NAME, place: [54.6, -3.5], country: England}
house: {front: {faces: 200, width: 11.4}, depth: 7.2, eave: {height: 2.7, depth: 0.45}}
boundary: {front: 12, right: 3, back: 14, left: 2}
beyond: {front: public way, others: neighbour}
objects:
  - {id: downpipe, kind: downpipe, wall: front, along: 10.9, surface: white plastic}
areas:
  - {id: gate, for: recognise, wall: front, along: 9, out: 8}
  - {id: yard, for: detect, wall: back, along: 1 to 10, out: 1 to 10}
switches:
  - {id: switch, sits: indoors, gives: 802.3af, budget: 60 W, volts: 48 V}
recorders:
  - {id: nvr, channels: 4, disks: [2 TB], wants: 30 days}
types:
  turret:
    {shape: turret, pixels: 2560 x 1440, view: 100 deg, infrared: 30 m, power: 7 W, recorder: nvr, records: continuous}
cameras:
  - id: drive-cam
    type: turret
    mount: {wall: front, along: 11.2, height: 2.6}
    aim: gate
    cable: {to: switch, length: 21, seal: none, sits: open}
  - id: yard-cam
    type: turret
    name: NAME
    mount: {wall: back, along: 5, height: 2.4}
    aim: yard
    cable: {to: switch, length: 14, sits: eave}
deviations:
  - {code: VIEW-02, at: camera/yard-cam, reason: NAME, agreed: NAME}
"""


def plan(name: str = "Heron Cottage") -> str:
    """The plan with a name, a reason and a signature, as YAML quotes them."""
    return PLAN.replace("NAME", '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"')


@cache
def review(name: str = "Heron Cottage") -> Review:
    """A review of the plan; it has findings of each level, deviations and open questions."""
    return kit.look(plan(name))


@cache
def sitting(name: str = "Heron Cottage") -> Sitting:
    """The same, to draw from."""
    seen = review(name)
    return Sitting(seen, world_of(seen.loaded, kit.packs(), kit.DAY))


@cache
def report(name: str = "Heron Cottage") -> str:
    """The whole page with pictures of our own."""
    sits = sitting(name)
    return page(sits.review, kit.packs(), sits, list(pictures(sits, name)))


def pictures(sits: Sitting, name: str) -> Iterator[Picture]:
    """A drawing with a mark a finding; two frames and a chart a camera; a pair at one finding; a chart a cable."""
    site, first = Ref("site", "site"), sits.numbered[0][1].finding
    yield Picture("site", "site", f"{name} from above", f"{name}, drawn", site, lambda: _drawing(len(sits.numbered)))
    for camera in sits.world.all("camera"):
        ref = sits.world.ref(camera)
        for kind in ("day", "night"):
            yield Picture(named(kind, camera.id), kind, f"{camera.id} by {kind}", f"{name} by {kind}", ref, _frame)
        yield Picture(named("sun", camera.id), "sun", f"the sun in {camera.id}", f"{name} in the sun", ref, _chart)
    for world in ("as it is", "without"):
        yield Picture(named("other", world), "other", world, f"43 % {world}", first.at.thing, _frame, 1)
    for cable in sits.world.all("cable"):
        yield Picture(named("volts", cable.id), "volts", f"volts on {cable.id}", "46 V", sits.world.ref(cable), _chart)


def _drawing(marks: int) -> Figure:
    sheet = ink.sheet(180, 150)
    axes = sheet.add_subplot()
    axes.set(xlim=(0, 10), ylim=(0, 10))
    for number in range(1, marks + 1):
        at = number % 9 + 0.5, number // 9 * 2 + 1
        axes.plot(*at, "o", markersize=16, color="w", markeredgecolor="k", url=f"#finding-{number}")
        axes.text(*at, str(number), ha="center", va="center")
    axes.fill_between([1, 9], [8, 9], hatch="///", facecolor="none")
    return sheet


def _frame() -> Figure:
    sheet = ink.sheet(160, 95)
    axes = sheet.add_subplot()
    axes.imshow([[0.0, 0.5], [0.7, 1.0]], aspect="auto")
    axes.set_axis_off()
    return sheet


def _chart() -> Figure:
    sheet = ink.sheet(160, 70)
    axes = sheet.add_subplot()
    axes.plot([0, 1], [48, 46])
    axes.set(xlabel="metres of cable", ylabel="volts")
    return sheet
