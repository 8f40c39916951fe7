"""Who feeds and carries whom, through the real reader."""

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.study import LOAD
from oneclimb.study.load import Load

HOUSE = "house: {front: {faces: 180, width: 40}, depth: 8, height: 5}"


def world(cameras: str, gear: str) -> World:
    """A site with cameras on its front, a line each, and further lists."""
    lines = "\n".join(f"  - {{mount: {{wall: front}}, night: none, {one}}}" for one in cameras.strip().splitlines())
    loaded = kit.look(f"{HOUSE}\ncameras:\n{lines}\n{gear}").loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(NOUNS, kit.DAY))


def load(cameras: str, gear: str) -> Load:
    """What is joined to what."""
    q = world(cameras, gear)
    return q.of(LOAD, q.plan.site)


TWO_SWITCHES = """
switches: [{id: loft, gives: 802.3at, to: hall}, {id: hall}]
injectors: [{id: shot, gives: passive, to: loft}]
recorders: [{id: nvr}, {id: other}]
supplies: [{id: adapter, volts: 12 V}]
"""
CAMERAS = """
id: a, cable: {to: loft}, recorder: nvr
id: b, cable: {to: shot}
id: c, cable: {to: nvr}
id: d, cable: {to: hall, carries: data}, power: {source: adapter, supply: adapter}, recorder: other
id: e, cable: {to: the loft}, power: {source: poe}
id: f, power: battery
"""


def test_a_cables_end_names_the_switch_and_the_uplinks_lead_on_from_it() -> None:
    feeds = load(CAMERAS, TWO_SWITCHES).feeds
    assert [switch.id for switch in feeds["a"].switches] == ["loft", "hall"]
    assert [switch.id for switch in feeds["d"].switches] == ["hall"]
    assert feeds["e"].switches == ()
    assert feeds["e"].data is not None
    assert feeds["f"].cables == ()


def test_an_injector_feeds_the_camera_and_the_switch_behind_it_carries_its_pictures() -> None:
    joined = load(CAMERAS, TWO_SWITCHES)
    b = joined.feeds["b"]
    assert (b.injector and b.injector.id, b.switch and b.switch.id, b.port and b.port.id) == ("shot", "loft", "shot")
    side = joined.sides["loft"]
    assert [camera.id for camera in side.cameras] == ["a", "b"]
    assert [camera.id for camera in side.fed] == ["a"]


def test_a_chained_switch_brings_its_cameras_to_the_uplink() -> None:
    hall = load(CAMERAS, TWO_SWITCHES).sides["hall"]
    assert [switch.id for switch in hall.chained] == ["loft"]
    assert [camera.id for camera in hall.cameras] == ["d"]
    assert [camera.id for camera in hall.behind] == ["a", "b", "d"]


def test_power_comes_over_the_cable_only_where_what_it_goes_to_gives_power() -> None:
    feeds = load(CAMERAS, TWO_SWITCHES).feeds
    assert {name: feed.source for name, feed in feeds.items()} == {
        "a": "poe", "b": "poe", "c": None, "d": "adapter", "e": "poe", "f": "battery",
    }  # fmt: skip
    assert feeds["d"].port is None
    plain = load("id: a, cable: {to: hall}", "switches: [{id: hall}]").feeds["a"]
    assert plain.source is None
    apart = "id: a, cable: {to: hall, carries: data}"
    assert load(apart, "switches: [{id: hall, gives: 802.3at}]").feeds["a"].source is None
    glass = "id: a, cable: {to: hall, kind: fibre}"
    assert load(glass, "switches: [{id: hall, gives: 802.3at}]").feeds["a"].source is None


def test_a_camera_is_kept_by_the_recorder_it_names_else_by_the_one_it_is_plugged_into() -> None:
    joined = load(CAMERAS, TWO_SWITCHES)
    kept = {name: [camera.id for camera in cameras] for name, cameras in joined.kept.items()}
    assert kept == {"nvr": ["a", "c"], "other": ["d"]}
    assert joined.feeds["c"].plugged is joined.feeds["c"].recorder
    assert joined.feeds["b"].recorder is None


def test_a_recorder_with_ports_of_its_own_feeds_and_keeps_what_comes_to_it() -> None:
    gear = """recorders: [{id: nvr}]
switches: [{id: nvr-ports, within: nvr, gives: 802.3af, budget: 60 W}, {id: shed, gives: 802.3af, to: nvr-ports}]"""
    joined = load("id: a, cable: {to: nvr}\nid: b, cable: {to: nvr-ports}\nid: c, cable: {to: shed}", gear)
    assert [camera.id for camera in joined.kept["nvr"]] == ["a", "b", "c"]
    assert [camera.id for camera in joined.sides["nvr-ports"].fed] == ["a", "b"]
    assert [camera.id for camera in joined.sides["nvr-ports"].behind] == ["a", "b", "c"]
    plugged = joined.feeds["a"].plugged
    assert plugged
    assert plugged.id == "nvr"


def test_supplies_are_found_from_what_they_feed() -> None:
    joined = load(CAMERAS, TWO_SWITCHES)
    assert [camera.id for camera in joined.supplied["adapter"]] == ["d"]


def test_separate_cables_for_pictures_and_power_are_told_apart() -> None:
    feed = load("id: a", "cables: [{id: net, camera: a, carries: data}, {id: low, camera: a, carries: power}]").feeds[
        "a"
    ]
    assert (feed.data and feed.data.id, feed.wire and feed.wire.id) == ("net", "low")


def test_another_world_is_joined_anew() -> None:
    q = world("id: a, cable: {to: loft}", "switches: [{id: loft}, {id: hall}]")
    other = q.vary(Change("replace", Ref("cable", q.all("cable")[0].id, "to"), "hall"))
    assert q.of(LOAD, q.plan.site).sides["hall"].cameras == ()
    assert [camera.id for camera in other.of(LOAD, other.plan.site).sides["hall"].cameras] == ["a"]
