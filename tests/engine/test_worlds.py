"""Worlds, the round, and remedies that are tried before they are offered."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Change, Figure, Info, Limits, Query, Reading, Ref, Rule, Settings, Study, Told, Trial, Unknown
from oneclimb.engine.measure import Measurer
from oneclimb.engine.round import go_round
from oneclimb.engine.trial import Bench
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.plan.model import Camera
from oneclimb.policy import Policy

PLAN = """\
house: {front: {faces: 180, width: 10 m}, depth: 7 m, eave: {height: 5 m, depth: 0.3 m}}
types: {plain: {view: 80 deg, pixels: 1920 x 1080}}
objects: [{id: pipe, kind: downpipe, wall: front, along: 2 m}]
cameras:
  - {id: one, type: plain, mount: {wall: front, along: 5 m, height: 2.6 m}, aim: {bearing: 180, tilt: 20}}
  - {id: two, type: plain, mount: {wall: front, along: 8 m, height: 2.6 m}, aim: {bearing: 180, tilt: 20}}
"""
ONE = Ref("camera", "one")
COUNT: list[str] = []


def counted(camera: Camera, q: Query) -> float:
    """A study that counts how often it is computed."""
    del q
    COUNT.append(camera.id)
    return camera.mount.spot.along


def halved(base: float, camera: Camera, changes: tuple[Change, ...], q: Query) -> float:
    """A short cut into another world."""
    del camera, changes, q
    return base / 2


ALONG: Study[Camera, float] = Study("along", counted)
HALF: Study[Camera, float] = Study("half", counted, vary=halved)


class FarSettings(Settings, frozen=True):
    limits: Limits = Limits(warning=4.0)


class TooFarRight(Rule[Camera]):
    """More than 4 m along is too far; another rule forbids less than 3.9 m."""

    info = Info("GLARE-80", "too far along", ("invented for this test",), "none.md")
    subject = "camera"
    settings = FarSettings

    def measure(self, camera: Camera, q: Query, settings: FarSettings) -> Iterable[Reading | Unknown]:
        del settings
        yield Reading(Figure("along", q.of(ALONG, camera), "m"), Ref("camera", camera.id, "mount.along"))

    def tell(self, reading: Reading, q: Trial, settings: FarSettings) -> Told:
        del settings
        steps = [(Change("replace", reading.at, f"{reading.figure.value - 0.1 * i:.2f} m"),) for i in range(1, 30)]
        remedy = q.least(lambda i: f"{0.1 * (i + 1):.1f} m back", steps)
        return Told("too far", (remedy,) if remedy else ())


class TooFarLeft(TooFarRight):
    info = Info("GLARE-81", "too far back", ("invented for this test",), "none.md")

    def measure(self, camera: Camera, q: Query, settings: FarSettings) -> Iterable[Reading | Unknown]:
        del settings
        back = 10.0 - q.of(ALONG, camera)
        yield Reading(Figure("back", back, "m"), Ref("camera", camera.id, "mount"))

    def tell(self, reading: Reading, q: Trial, settings: FarSettings) -> Told:
        del reading, q, settings
        return Told("too far back")


class Silent(TooFarRight):
    info = Info("GLARE-82", "asks", ("invented for this test",), "none.md")

    def measure(self, camera: Camera, q: Query, settings: FarSettings) -> Iterable[Reading | Unknown]:
        del settings
        q.need(camera, "bitrate")
        return ()


class Broken(TooFarRight):
    info = Info("GLARE-83", "falls over", ("invented for this test",), "none.md")

    def measure(self, camera: Camera, q: Query, settings: FarSettings) -> Iterable[Reading | Unknown]:
        del q, settings
        raise ZeroDivisionError(camera.id)


def world(trials: int = 100) -> World:
    COUNT.clear()
    loaded = kit.look(PLAN).loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(NOUNS, dt.date(2026, 6, 1), each=trials, trials=trials))


def go(*rules: Rule[Any], trials: int = 100, limits: dict[str, Any] | None = None) -> Any:
    return go_round(world(trials), Measurer(rules, Policy(rules, limits or {}, {})))


def test_a_study_is_computed_once_a_subject_and_world() -> None:
    w = world()
    one = w.get(ONE)
    assert w.of(ALONG, one) == w.of(ALONG, one) == 5.0
    assert COUNT == ["one"]
    moved = w.vary(Change("replace", ONE.at("mount.along"), "3 m"))
    assert moved.of(ALONG, moved.get(ONE)) == 3.0
    assert COUNT == ["one", "one"]


def test_the_same_changes_are_the_same_world() -> None:
    w = world()
    change = Change("dark", Ref("object", "pipe"))
    assert w.vary(change) is w.vary(change)
    assert w.vary() is w
    assert w.vary(change).changes == (change,)


def test_a_short_cut_takes_the_base_world_s_result() -> None:
    w = world()
    dark = w.vary(Change("dark", Ref("object", "pipe")))
    assert dark.of(HALF, dark.get(ONE)) == 2.5
    assert COUNT == ["one"]


def test_an_absent_thing_is_not_listed() -> None:
    w = world()
    assert [o.id for o in w.all("object")] == ["pipe"]
    assert w.vary(Change("absent", Ref("object", "pipe"))).all("object") == ()
    with pytest.raises(KeyError):
        w.vary(Change("absent", ONE)).get(ONE)


def test_a_replaced_field_is_read_by_the_plan_s_own_reader() -> None:
    w = world()
    moved = w.vary(Change("replace", ONE.at("mount.along"), "12 ft"))
    assert moved.get(ONE).mount.spot.along == pytest.approx(12 * 0.3048)
    assert moved.get(Ref("camera", "two")) == w.get(Ref("camera", "two"))
    assert w.get(ONE).mount.spot.along == 5.0


def test_what_the_plan_does_not_say_is_asked_for_in_words() -> None:
    out = go(Silent())
    assert [(c.code, c.ref.path) for c in out.cannot_tell] == [
        ("GLARE-82", "camera/one/bitrate"),
        ("GLARE-82", "camera/two/bitrate"),
    ]
    assert all(c.asks.endswith("?") for c in out.cannot_tell)


def test_a_rule_that_falls_over_is_reported_and_the_others_go_on() -> None:
    out = go(Broken(), TooFarRight())
    assert [(c.code, c.ref.id, c.text) for c in out.crashes] == [
        ("GLARE-83", "one", "ZeroDivisionError: one"),
        ("GLARE-83", "two", "ZeroDivisionError: two"),
    ]
    assert [f.at.id for f in out.findings] == ["one", "two"]


def test_the_least_step_that_clears_is_found() -> None:
    out = go(TooFarRight())
    one, two = out.findings
    assert one.remedies[0].text == "1.0 m back"
    assert one.remedies[0].edits[0].by == "4.00 m"
    assert two.remedies == ()  # it would take 40 steps, there are 29


def test_a_step_that_brings_another_finding_is_not_offered() -> None:
    crowded = {"GLARE-81": {"warning": 5.99}}  # back at 4.0 m along is 6.0 m: too far
    assert go(TooFarRight(), TooFarLeft(), limits=crowded).findings[0].remedies == ()
    roomy = {"GLARE-81": {"warning": 6.01}}
    assert go(TooFarRight(), TooFarLeft(), limits=roomy).findings[0].remedies[0].text == "1.0 m back"


class Farther(TooFarLeft):
    """As far back, by a figure that is doubtful by so much, counting who is nearer than 4.5 m along."""

    doubt = 0.0
    counts = False

    def measure(self, camera: Camera, q: Query, settings: FarSettings) -> Iterable[Reading | Unknown]:
        for reading in super().measure(camera, q, settings):
            assert isinstance(reading, Reading)
            back, near = reading.figure, self.counts and q.of(ALONG, camera) < 4.5
            doubtful = replace(back, low=back.value - self.doubt, high=back.value + self.doubt)
            yield replace(reading, figure=doubtful, counted=frozenset({ONE}) if near else frozenset())


@pytest.mark.parametrize(
    ("limits", "doubt", "counts", "offered"),
    [
        (Limits(warning=1.0), 0.0, False, False),  # 5.0 m back has become 6.0 m: more than a tenth
        (Limits(warning=1.0), 1.1, False, True),  # within what the figure was doubtful by
        (Limits(note=1.0), 0.0, False, True),  # a note stays a note
        (Limits(note=1.0), 0.0, True, False),  # one more of what it counts
    ],
)
def test_a_step_that_makes_another_finding_worse_is_not_offered(
    limits: Limits, doubt: float, counts: bool, offered: bool
) -> None:
    farther = Farther()
    farther.doubt, farther.counts = doubt, counts
    found = go(TooFarRight(), farther, limits={"GLARE-81": {"note": limits.note, "warning": limits.warning}})
    remedies = next(f.remedies for f in found.findings if f.code == "GLARE-80" and f.at.id == "one")
    assert bool(remedies) == offered


def test_no_more_worlds_are_tried_than_a_subject_has_to_spend() -> None:
    assert all(f.remedies == () for f in go(TooFarRight(), trials=2).findings)


def test_a_remedy_that_lessens_is_marked_as_partial() -> None:
    w = world()
    rule, measurer = TooFarRight(), Measurer([TooFarRight()], Policy([TooFarRight()], {}, {}))
    one = w.get(ONE)
    (past,) = measurer.past(w, rule, one)
    bench = Bench(w, measurer, rule, one, past.reading)
    edits = (Change("replace", ONE.at("mount.along"), "4.3 m"),)
    part = bench.lessens("some of the way", edits)
    assert part is not None
    assert part.partial
    assert part.after == replace(past.reading.figure, value=4.3, low=4.3, high=4.3)
    assert bench.lessens("hardly", (Change("replace", ONE.at("mount.along"), "4.8 m"),)) is None
