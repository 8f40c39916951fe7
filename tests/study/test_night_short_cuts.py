"""A night taken over from another world equals the night computed anew there."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.study import ALL, NIGHT
from oneclimb.study.night import Night
from oneclimb.study.night_build import compute

PLAN = kit.plans(kit.packs().page("GLARE-02"))[0]
HOUSE, POLE = Ref("camera", "house-cam"), Ref("camera", "pole-cam")
CHANGES = (
    Change("replace", HOUSE.at("front"), "dirty"),
    Change("replace", HOUSE.at("metering"), "centre"),
    Change("replace", HOUSE.at("records"), "schedule"),
    Change("replace", HOUSE.at("watches"), ["door"]),
    Change("replace", HOUSE.at("mount.along"), "5.40 m"),
    Change("replace", HOUSE.at("infrared"), "20 m"),
    Change("replace", HOUSE.at("night"), "none"),
    Change("replace", POLE.at("aim"), {"bearing": "12 deg", "tilt": "30 deg"}),
    Change("replace", POLE.at("infrared"), "15 m"),
    Change("replace", POLE.at("night"), "none"),
    Change("dark", POLE.at("infrared")),
    Change("absent", POLE),
)


def world() -> World:
    return World(kit.look(PLAN).loaded, Shared(NOUNS, dt.date(2026, 6, 1)))


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: f"{change.how}-{change.at.path}")
def test_a_short_cut_gives_what_computing_anew_gives(change: Change) -> None:
    base = world()
    base.of(NIGHT, base.get(HOUSE))
    changed = base.vary(change)
    short: Night = changed.of(NIGHT, changed.get(HOUSE))
    anew = compute(changed.get(HOUSE), changed)
    for mine, theirs in ((short.view(), anew.view()), (short.view(ALL), anew.view(ALL))):
        assert mine.gain == pytest.approx(theirs.gain, rel=1e-9)
        assert mine.veil == pytest.approx(theirs.veil, rel=1e-9)
        assert mine.wanted.ends == pytest.approx(theirs.wanted.ends, rel=1e-9)
        assert mine.reach.ends == pytest.approx(theirs.reach.ends, rel=1e-9)
        np.testing.assert_allclose(mine.signals, theirs.signals, rtol=1e-9)
    told = {c.ref: c.veil for c in short.contributions()}
    assert told == pytest.approx({c.ref: c.veil for c in anew.contributions()})


def test_a_camera_made_to_watch_other_ground_is_looked_at_anew() -> None:
    written = world()
    base = written.vary(Change("replace", HOUSE.at("watches"), ["door"]))
    changed = base.vary(Change("replace", HOUSE.at("watches"), ["path"]))
    base.of(NIGHT, base.get(HOUSE))
    short: Night = changed.of(NIGHT, changed.get(HOUSE))
    fresh = written.vary(Change("replace", HOUSE.at("watches"), ["path"]))
    anew = compute(fresh.get(HOUSE), fresh)
    assert short.watched == anew.watched == ("path",)
    assert short.found.areas == anew.found.areas
    assert short.view().wanted.ends == pytest.approx(anew.view().wanted.ends, rel=1e-9)


def test_what_has_no_part_in_light_costs_no_casting() -> None:
    base = world()
    night = base.of(NIGHT, base.get(HOUSE))
    for change in (
        Change("replace", HOUSE.at("records"), "schedule"),
        Change("replace", POLE.at("records"), "schedule"),
    ):
        changed = base.vary(change)
        again: Night = changed.of(NIGHT, changed.get(HOUSE))
        assert again.others is night.others
        assert again.frame is night.frame
