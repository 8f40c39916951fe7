"""What feeds, carries and keeps the cameras, what was tested, and how the site is run: every key is read as it says."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import asdict

from oneclimb.api import Ref
from oneclimb.plan.edit import edited
from oneclimb.plan.faults import Fault
from oneclimb.plan.model import (
    AccessPoint,
    Camera,
    Card,
    Handling,
    Hill,
    Injector,
    Network,
    Panel,
    Power,
    Proof,
    Recorder,
    Site,
    Supply,
    Switch,
    Trigger,
    Ups,
    Wireless,
)
from oneclimb.plan.read_gear import GEAR
from plan.test_edit import change, mended
from plan.written import SCHEMA, plan_of, read, site

GEARED = """
site:
  clock: -5
  hills: [{bearings: 340 to 20 deg, up: 12 deg}]
  protected: true
  network: {password: shared, forwarded: false, separate: true, jacks: locked, updates: ended, uplink: 0.02 Gbit/s}
  handling: {purpose: the door, sign: planned, keeps: 2 weeks, most: 30, account: owner, labels: true, drawing: false}
lamps: [{id: porch, wall: front, along: 3}]
types:
  cell: {power: {source: solar, capacity: 20 Wh, panel: {watts: 6 W, tilt: 45}}, card: {size: 128 GB}}
switches:
  - {id: loft, wall: front, along: 4, sits: indoors, ports: 8, gives: 802.3at, budget: 65 W, volts: 53 V,
     speed: 100 Mbit/s, uplink: 1 Gbit/s, to: hall}
  - {id: hall}
injectors: [{id: shot, gives: passive, volts: 24 V, sits: box, to: hall}]
supplies:
  - {id: brick, at: [3, 2], volts: 12 V, current: DC, watts: 24 W, sits: indoors, rated: [IP44], protected: true}
recorders:
  - {id: nvr, channels: 8, most: 80 Mbit/s, disks: [4 TB, 500 GB], mirrored: false, wants: 30 days, copy: cloud,
     alerts: true, locked: false, clock: network, password: own, updates: current, address: 192.168.1.9, watts: 15 W}
ups: [{id: spare, capacity: 0.2 kWh, watts: 300 W, feeds: [loft, nvr, cam]}]
access-points: [{id: router, at: [4, 3], height: 2, power: 20 dBm, gain: 2 dBi, uplink: 100 Mbit/s}]
proofs:
  - {id: walk, kind: power cut, of: [cam, cam-cable], when: 2026-11-20, by: the fitter, lamps: [], cameras: [cam],
     passed: true}
  - {id: look, kind: day}
"""
CAMERA = """{id: cam, type: cell, mount: {wall: front, along: 5, height: 2.6}, cable: {to: loft},
  recorded: 1920 x 1080, codec: H.265, frames: 12.5, bitrate: 4, night-bitrate: 6 Mbit/s, motion: 10 %, events: 20,
  clip: 20 s, address: 192.168.1.20, password: default, updates: ended, clock: hand, recorder: nvr, purpose: parcels,
  trigger: {by: heat, range: 8 m, lag: 1 s, before: 500 ms}, card: {endurance: 60 TB},
  wireless: {to: router, band: 2.4 GHz, standard: n, width: 20, measured: -61 dBm, gain: 2},
  power: {watts: 7 W, poe: 3, standard: 802.3af, volts: 12 V, current: DC, tolerance: 10 %, supply: brick,
    standby: 20 mW, daily: 1.5 Wh, chemistry: lithium, panel: {faces: 180, wall: back, height: 3}}}"""
TEXT = site(GEARED, CAMERA)
PLAN = plan_of(TEXT)


def test_switches_and_injectors_are_read_in_si_units() -> None:
    loft, hall = PLAN.switches
    assert asdict(loft) | {"spot": None} == asdict(
        Switch("loft", None, "indoors", 8, "802.3at", 65.0, 53.0, 100.0, 1000.0, "hall")
    )
    assert loft.spot is not None
    assert (loft.spot.xyz, loft.spot.wall) == ((4.0, 0.0, 1.0), "front")
    assert hall == Switch("hall")
    assert PLAN.injectors == (Injector("shot", "passive", 24.0, "box", "hall"),)


def test_supplies_recorders_and_backups_are_read_in_si_units() -> None:
    (brick,) = PLAN.supplies
    assert brick.spot is not None
    assert brick.spot.xyz == (3.0, 2.0, 1.0)
    assert asdict(brick) | {"spot": None} == asdict(
        Supply("brick", None, 12.0, "DC", 24.0, "indoors", ("IP44",), protected=True)
    )
    assert PLAN.recorders == (
        Recorder(
            "nvr",
            channels=8,
            most=80.0,
            disks=(4.0, 0.5),
            mirrored=False,
            wants=30.0,
            copy="cloud",
            alerts=True,
            locked=False,
            clock="network",
            password="own",  # noqa: S106 - whose it is, not the word
            updates="current",
            address="192.168.1.9",
            watts=15.0,
        ),
    )
    assert PLAN.ups == (Ups("spare", 200.0, 300.0, ("loft", "nvr", "cam")),)


def test_access_points_and_proofs_are_read() -> None:
    (router,) = PLAN.access_points
    assert router.spot is not None
    assert router.spot.xyz == (4.0, 3.0, 2.0)
    assert asdict(router) | {"spot": None} == asdict(AccessPoint("router", None, 20.0, 2.0, 100.0))
    assert PLAN.proofs == (
        Proof("walk", "power cut", ("cam", "cam-cable"), "2026-11-20", "the fitter", (), ("cam",), passed=True),
        Proof("look", "day"),
    )


def test_the_site_tells_its_horizon_its_network_and_what_is_done_with_the_pictures() -> None:
    assert PLAN.site == Site(
        clock=-5,
        hills=(Hill((340.0, 20.0), 12.0),),
        protected=True,
        network=Network("shared", forwarded=False, separate=True, jacks="locked", updates="ended", uplink=20.0),
        handling=Handling("the door", "planned", 14.0, 30.0, "owner", labels=True, drawing=False),
    )


def test_a_camera_tells_what_feeds_wakes_and_keeps_it_its_types_keys_merged_to_the_last() -> None:
    (camera,) = PLAN.cameras
    panel = camera.power.panel
    assert panel is not None
    assert panel.spot is not None
    assert panel.spot.wall == "back"
    assert asdict(panel) | {"spot": None} == asdict(Panel(6.0, 180.0, 45.0))
    assert asdict(camera.power) | {"panel": None} == asdict(
        Power("solar", 7.0, 20.0, 3, "802.3af", 12.0, "DC", 0.1, "brick", 0.02, 1.5, "lithium")
    )
    assert camera.card == Card(128.0, 60.0)
    assert camera.trigger == Trigger("heat", 8.0, 1.0, 0.5)
    assert camera.wireless == Wireless("router", "2.4 GHz", "n", 20, -61.0, 2.0)
    rest = ("recorded", "codec", "frames", "bitrate", "night_bitrate", "motion", "events", "clip")
    assert [getattr(camera, name) for name in rest] == [(1920, 1080), "H.265", 12.5, 4.0, 6.0, 0.1, 20, 20.0]
    kept = ("address", "password", "updates", "clock", "recorder", "purpose")
    assert [getattr(camera, name) for name in kept] == ["192.168.1.20", "default", "ended", "hand", "nvr", "parcels"]


def test_what_the_plan_does_not_say_is_unknown_and_a_panel_without_a_place_has_none() -> None:
    (camera,) = plan_of(site("", "{id: cam, mount: {wall: front}, power: {panel: {watts: 6}}, wireless: {}}")).cameras
    assert camera.power.panel == Panel(6.0)
    assert camera.wireless == Wireless()
    assert (camera.trigger, camera.card, camera.recorded, camera.recorder) == (None, None, None, "")
    bare = plan_of(site()).site
    assert (bare.network, bare.handling, bare.hills, bare.clock, bare.protected) == (None, None, (), None, None)


def _fields(part: str) -> set[str]:
    return {key.replace("-", "_") for key in SCHEMA["$defs"][part]["properties"]}


WHERE = _fields("where")


@pytest.mark.parametrize(
    ("kind", "model"),
    [
        ("switch", Switch),
        ("injector", Injector),
        ("supply", Supply),
        ("recorder", Recorder),
        ("ups", Ups),
        ("access-point", AccessPoint),
        ("proof", Proof),
    ],
)
def test_the_schema_has_the_models_fields_and_no_others(kind: str, model: Any) -> None:
    fields = set(model.__struct_fields__)
    assert _fields(kind) == fields - {"spot"} | (WHERE if "spot" in fields else set())
    assert kind in {noun for noun, _ in GEAR.values()}


def _inner(part: Any, *keys: str) -> set[str]:
    for key in keys:
        part = part["properties"][key]
    return {key.replace("-", "_") for key in part["properties"]}


@pytest.mark.parametrize("noun", ["camera", "type"])
def test_the_schema_has_the_fields_of_what_a_camera_holds(noun: str) -> None:
    part = SCHEMA["$defs"][noun]
    assert _inner(part, "power") == set(Power.__struct_fields__)
    assert _inner(part, "power", "panel") == set(Panel.__struct_fields__) - {"spot"} | WHERE
    assert _inner(part, "wireless") == set(Wireless.__struct_fields__)
    assert _inner(part, "trigger") == set(Trigger.__struct_fields__)
    assert _inner(part, "card") == set(Card.__struct_fields__)
    own = {"status_light", "lens", "turned", "cable"}
    assert _inner(part) - own <= set(Camera.__struct_fields__)


def test_the_schema_has_the_sites_fields() -> None:
    assert _fields("site") == set(Site.__struct_fields__)
    assert _inner(SCHEMA["$defs"]["site"], "network") == set(Network.__struct_fields__)
    assert _inner(SCHEMA["$defs"]["site"], "handling") == set(Handling.__struct_fields__)


@pytest.mark.parametrize(
    ("before", "after", "code", "hint"),
    [
        ("recorder: nvr", "recorder: nvrr", "PLAN-19", "did you mean `nvr`?"),
        ("supply: brick", "supply: bric", "PLAN-19", "did you mean `brick`?"),
        ("to: router", "to: routr", "PLAN-19", "did you mean `router`?"),
        ("1 Gbit/s, to: hall", "1 Gbit/s, to: hal", "PLAN-19", "did you mean `hall`?"),
        ("sits: box, to: hall", "sits: box, to: nvr", "PLAN-19", "known: `loft`, `hall`"),
        ("feeds: [loft, nvr", "feeds: [loft, nv", "PLAN-19", "did you mean `nvr`?"),
        ("of: [cam, cam-cable]", "of: [cam-cabel]", "PLAN-19", "did you mean `cam-cable`?"),
        ("lamps: []", "lamps: [porsch]", "PLAN-19", "did you mean `porch`?"),
        ("cameras: [cam],", "cameras: [porch],", "PLAN-19", "known: `cam`"),
        ("{id: look,", "{id: walk,", "PLAN-18", ""),
        ("{id: hall}", "{id: hall, to: loft}", "PLAN-37", "take out the `to`"),
        ("{id: hall}", "{id: hall, to: hall}", "PLAN-37", "take out the `to`"),
        ("{id: hall}", "{id: hall, wall: bak}", "PLAN-19", "did you mean `back`?"),
        ("{id: hall}", "{id: hall, at: [9000000, 0]}", "PLAN-31", ""),
        ("when: 2026-11-20", "when: 2026-11-31", "PLAN-27", "year-month-day"),
        ("4 TB, 500 GB", "4 TB, 500", "PLAN-13", ""),
        ("size: 128 GB", "size: 128 GiB", "PLAN-15", ""),
        ("tilt: 45", "tilt: 95 deg", "PLAN-16", ""),
        ("motion: 10 %", "motion: 110 %", "PLAN-16", ""),
        ("poe: 3", "poe: 9", "PLAN-16", ""),
        ("recorded: 1920 x 1080", "recorded: 10 x 10", "PLAN-16", ""),
        ("340 to 20 deg", "340 to 380 deg", "PLAN-16", ""),
        ("340 to 20 deg", "20 to 20 deg", "PLAN-16", ""),
        ("up: 12 deg", "up: 100 deg", "PLAN-16", ""),
        ("clock: -5", "clock: 20", "PLAN-16", ""),
        ("clip: 20 s", "clip: 1/0 s", "PLAN-15", ""),
        ("panel: {faces: 180, wall: back, height: 3}", "panel: {wall: back, height: 300}", "PLAN-36", "300 cm"),
        ("gives: 802.3at", "gives: 802.3an", "PLAN-14", "`802.3at`"),
    ],
)
def test_a_slip_is_told_with_the_nearest(before: str, after: str, code: str, hint: str) -> None:
    text = TEXT.replace(before, after)
    assert text != TEXT
    (fault,) = read(text).faults
    assert fault.code == code
    assert hint in fault.hint
    line = text.split("\n")[fault.span.line - 1]
    assert line.strip()


def test_a_reference_where_the_plan_has_nothing_of_the_kind_says_where_to_write_it() -> None:
    (fault,) = read(site("", "{id: cam, mount: {wall: front}, recorder: nvr}")).faults
    assert isinstance(fault, Fault)
    assert (fault.code, fault.hint) == ("PLAN-19", "write it among `recorders`")


def test_a_reference_to_what_cannot_be_read_is_told_once_at_its_own_place() -> None:
    (fault,) = read(TEXT.replace("{id: router, at: [4, 3]", "{id: router, wall: bakc")).faults
    assert (fault.code, fault.hint) == ("PLAN-19", "did you mean `back`?")


@pytest.mark.parametrize(
    ("ref", "how", "text", "asks"),
    [
        (Ref("switch", "loft", "budget"), "written", "budget: 65 W", "how many watts has the switch"),
        (Ref("switch", "loft", "height"), "default", "id: loft", "height"),
        (Ref("switch", "hall", "wall"), "unknown", "id: hall", "where is the switch?"),
        (Ref("switch", "hall", "gives"), "unknown", "id: hall", "which standard of power over Ethernet"),
        (Ref("injector", "shot", "volts"), "written", "volts: 24 V", "how many volts"),
        (Ref("supply", "brick", "protected"), "written", "protected: true", "residual-current device"),
        (Ref("recorder", "nvr", "disks.1"), "written", "500 GB", "disks"),
        (Ref("ups", "spare", "capacity"), "written", "capacity: 0.2 kWh", "what energy does the backup's battery"),
        (Ref("access-point", "router", "at"), "written", "at: [4, 3]", "at"),
        (Ref("proof", "look", "of"), "default", "id: look", "of"),
        (Ref("proof", "look", "when"), "unknown", "id: look", "on what day"),
        (Ref("camera", "cam", "power.panel.watts"), "written", "watts: 6 W", "the solar panel's rated power?"),
        (Ref("camera", "cam", "power.panel.tilt"), "written", "tilt: 45", "tilted up from lying flat?"),
        (Ref("camera", "cam", "power.panel.along"), "default", "panel: {faces: 180, wall: back, height: 3}", "along"),
        (Ref("camera", "cam", "card.size"), "written", "size: 128 GB", "how large is the memory card?"),
        (Ref("camera", "cam", "wireless.measured"), "written", "measured: -61 dBm", "received at the mount?"),
        (Ref("site", "site", "network.jacks"), "written", "jacks: locked", "open or locked?"),
        (Ref("site", "site", "handling.keeps"), "written", "keeps: 2 weeks", "how long are pictures said to be kept?"),
        (Ref("site", "site", "hills.0.up"), "written", "up: 12 deg", "up"),
        (Ref("site", "site", "country"), "unknown", "site", "which country"),
    ],
)
def test_gear_has_origins_and_questions(ref: Ref, how: str, text: str, asks: str) -> None:
    origins = read(TEXT).origins
    assert origins is not None
    span = origins.span(ref)
    assert origins.how(ref) == how
    assert TEXT.split("\n")[span.line - 1][span.column - 1 :].startswith(text)
    assert asks in origins.asks(ref)


@pytest.mark.parametrize(
    ("path", "by", "line"),
    [
        ("switch/loft/budget", "120 W", "budget: 120 W"),
        ("recorder/nvr/wants", "14 days", "wants: 14 days"),
        ("ups/spare/feeds", ["nvr"], "feeds: [nvr]"),
        ("access-point/router/power", "23 dBm", "power: 23 dBm"),
        ("proof/look/passed", True, "{id: look, kind: day, passed: true}"),
        ("site/site/network.password", "own", "network: {password: own,"),
        ("camera/cam/wireless.measured", "-58 dBm", 'measured: "-58 dBm"'),
        ("camera/cam/power.panel.faces", 190, "panel: {faces: 190, wall: back, height: 3}"),
        ("camera/cam/power.panel.tilt", "60 deg", "panel: {faces: 180, wall: back, height: 3, tilt: 60 deg}"),
        ("camera/cam/card.size", "256 GB", "card: {endurance: 60 TB, size: 256 GB}"),
        ("camera/cam/clock", "network", "clock: network"),
        ("supply/brick/volts", "24 V", "volts: 24 V"),
        ("injector/shot/gives", "802.3af", "gives: 802.3af"),
    ],
)
def test_a_field_is_changed_in_its_place_and_reads_as_it_was_tried(path: str, by: object, line: str) -> None:
    assert line in mended(TEXT, change(path, by))


def test_an_edit_that_names_what_is_not_there_is_refused_and_the_rest_stays_the_same_objects() -> None:
    before = read(TEXT)
    tried = edited(before, [change("camera/cam/recorder", "nvrr")])
    assert [fault.code for fault in tried.faults] == ["PLAN-19"]
    after = edited(before, [change("switch/hall/ports", 4)]).plan
    assert after is not None
    assert before.plan is not None
    assert after.switches[1] == Switch("hall", ports=4)
    assert after.recorders is before.plan.recorders
    assert after.cameras is before.plan.cameras
