"""Limits, levels, deviations and who may change what."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.api import LEVELS, Figure, Finding, Info, Level, Limits, Query, Reading, Ref, Rule, Settings, Told, Trial
from oneclimb.api import setting as field
from oneclimb.plan.model import Deviation
from oneclimb.policy import OFF, OVERRULED, PROPOSED, RUN_OUT, SILENCED, UNUSED, Policy

DAY = dt.date(2026, 6, 1)
AT = Ref("camera", "drive", "mount")


class ReachSettings(Settings, frozen=True):
    limits: Limits = Limits(note=0.05, warning=0.2, error=0.5)
    arm: float = field(2.5, "how far an arm reaches", unit="m")


class Loss(Rule[Any]):
    info = Info("GLARE-70", "a loss", ("invented for this test",), "none.md")
    subject = "camera"
    settings = ReachSettings

    def measure(self, subject: Any, q: Query, settings: ReachSettings) -> Iterable[Reading]:
        del subject, q, settings
        return ()

    def tell(self, reading: Reading, q: Trial, settings: ReachSettings) -> Told:
        del reading, q, settings
        return Told("")


class Safe(Loss):
    info = Info("GLARE-71", "a danger", ("invented for this test",), "none.md", safety=True)


def reading(value: float, low: float | None = None, high: float | None = None) -> Reading:
    return Reading(Figure("lost", value, "", value if low is None else low, value if high is None else high), AT)


@pytest.mark.parametrize(
    ("value", "level"),
    [(0.0, None), (0.05, None), (0.06, "note"), (0.2, "note"), (0.21, "warning"), (0.5, "warning"), (0.51, "error")],
)
def test_a_level_is_reached_past_its_limit(value: float, level: Level | None) -> None:
    assert Policy([Loss()], {}, {}).level(Loss(), reading(value)) == (level, False)


def test_a_limit_inside_the_doubt_lowers_the_level_by_one_and_says_so() -> None:
    policy = Policy([Loss()], {}, {})
    assert policy.level(Loss(), reading(0.3, 0.1, 0.4)) == ("note", True)
    assert policy.level(Loss(), reading(0.3, 0.25, 0.4)) == ("warning", False)
    assert policy.level(Loss(), reading(0.06, 0.0, 0.4)) == ("note", True)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_more_doubt_never_makes_a_finding_worse(a: float, b: float, c: float) -> None:
    low, value, high = sorted((a, b, c))
    policy = Policy([Loss()], {}, {})
    firm, _ = policy.level(Loss(), reading(value))
    soft, _ = policy.level(Loss(), reading(value, low, high))
    ranks = [-1 if level is None else LEVELS.index(level) for level in (firm, soft)]
    assert ranks[1] <= ranks[0]


def test_a_later_source_outranks_an_earlier_one_and_each_value_knows_its_own() -> None:
    by_plan = Policy([Loss()], {"GLARE-70": {"warning": 0.3, "arm": 2.0}}, {}).in_force["GLARE-70"]
    assert by_plan.settings == ReachSettings(Limits(note=0.05, warning=0.3, error=0.5), arm=2.0)
    assert by_plan.origin == {"note": "default", "warning": "plan", "error": "default", "arm": "plan"}
    policy = Policy([Loss()], {"GLARE-70": {"warning": 0.3, "arm": 2.0}}, {"GLARE-70": {"warning": 0.1}})
    force = policy.in_force["GLARE-70"]
    assert force.settings == ReachSettings(Limits(note=0.05, warning=0.1, error=0.5), arm=2.5)
    assert force.origin == {"note": "default", "warning": "owner", "error": "default", "arm": "default"}
    assert [(f.code, f.level, f.at.path) for f in policy.findings] == [
        (OVERRULED, "note", "settings/GLARE-70/warning"),
        (OVERRULED, "note", "settings/GLARE-70/arm"),
    ]


@pytest.mark.parametrize("level", ["none", "note"])
def test_no_key_of_the_plan_loosens_a_rule_the_owner_speaks_of(level: str) -> None:
    policy = Policy([Loss()], {"GLARE-70": {"level": level}}, {"GLARE-70": {"warning": 0.1}})
    assert policy.level(Loss(), reading(0.9)) == ("error", False)


def test_a_plan_cannot_silence_a_safety_rule_but_the_owner_can() -> None:
    by_plan = Policy([Safe()], {"GLARE-71": {"level": "none"}}, {})
    assert by_plan.level(Safe(), reading(0.9)) == ("error", False)
    assert [f.code for f in by_plan.findings] == [SILENCED]
    by_owner = Policy([Safe()], {}, {"GLARE-71": {"level": "none"}})
    assert by_owner.level(Safe(), reading(0.9)) == (None, False)


def test_a_rule_the_plan_turns_off_is_told() -> None:
    policy = Policy([Loss()], {"GLARE-70": {"level": "none"}}, {})
    assert policy.level(Loss(), reading(0.9)) == (None, False)
    assert [(f.code, f.level, f.at.path) for f in policy.findings] == [(OFF, "note", "settings/GLARE-70/level")]


def test_a_fixed_level_is_given_to_whatever_is_found() -> None:
    policy = Policy([Loss()], {"GLARE-70": {"level": "note"}}, {})
    assert policy.level(Loss(), reading(0.9)) == ("note", False)
    assert policy.level(Loss(), reading(0.01)) == (None, False)


def finding(code: str = "GLARE-70") -> Finding:
    return Finding(code, "warning", AT, "the view is lost")


@pytest.mark.parametrize("at", ["camera/drive", "camera/drive/mount"])
def test_a_deviation_accepts_the_finding_at_its_path_or_below(at: str) -> None:
    stand, accepted = Policy([Loss()], {}, {}).accept(
        [finding()], [Deviation("GLARE-70", at, "dark lane", "A. Owner")], None, DAY
    )
    assert stand == []
    assert [(a.finding, a.safety) for a in accepted] == [(finding(), False)]


@pytest.mark.parametrize(
    ("code", "at"), [("GLARE-70", "camera/driveway"), ("GLARE-70", "camera/dri"), ("GLARE-99", "camera/drive")]
)
def test_a_deviation_that_matches_nothing_is_itself_a_finding(code: str, at: str) -> None:
    stand, accepted = Policy([Loss()], {}, {}).accept([finding()], [Deviation(code, at, "r", "a")], None, DAY)
    assert accepted == []
    assert [f.code for f in stand] == ["GLARE-70", UNUSED]


def test_a_deviation_holds_to_the_end_of_its_last_day() -> None:
    policy = Policy([Loss()], {}, {})
    last = Deviation("GLARE-70", "camera/drive", "until the hedge is cut", "A. Owner", until="2026-06-01")
    assert policy.accept([finding()], [last], None, DAY)[0] == []
    stand, accepted = policy.accept([finding()], [last], None, DAY + dt.timedelta(days=1))
    assert [f.code for f in stand] == ["GLARE-70", RUN_OUT]
    assert accepted == []


def test_accepted_safety_findings_stand_first() -> None:
    policy = Policy([Loss(), Safe()], {}, {})
    both = [Deviation(code, "camera/drive", "r", "a") for code in ("GLARE-70", "GLARE-71")]
    _, accepted = policy.accept([finding(), finding("GLARE-71")], both, None, DAY)
    assert [a.finding.code for a in accepted] == ["GLARE-71", "GLARE-70"]


def test_a_renewed_deviation_counts_though_the_old_one_has_run_out() -> None:
    old = Deviation("GLARE-70", "camera/drive", "r", "a", until="2026-01-01")
    new = Deviation("GLARE-70", "camera/drive", "r", "a", until="2027-01-01")
    stand, accepted = Policy([Loss()], {}, {}).accept([finding()], [old, new], None, DAY)
    assert [a.deviation for a in accepted] == [new]
    assert [f.code for f in stand] == [RUN_OUT]


def test_a_whole_kind_of_thing_cannot_be_accepted_at_once() -> None:
    stand, accepted = Policy([Loss()], {}, {}).accept(
        [finding()], [Deviation("GLARE-70", "camera", "r", "a")], None, DAY
    )
    assert accepted == []
    assert [f.code for f in stand] == ["GLARE-70", UNUSED]


def test_with_an_owner_s_file_the_plan_s_own_deviations_are_proposals() -> None:
    mine = Deviation("GLARE-70", "camera/drive", "r", "the contractor")
    policy = Policy([Loss()], {}, {})
    stand, accepted = policy.accept([finding()], [mine], [], DAY)
    assert [f.code for f in stand] == ["GLARE-70", PROPOSED]
    assert accepted == []
    held = Deviation("GLARE-70", "camera/drive", "agreed on site", "A. Owner")
    stand, accepted = policy.accept([finding()], [mine], [held], DAY)
    assert stand == []
    assert [a.deviation for a in accepted] == [held]


def test_an_owner_s_deviation_that_matches_nothing_here_may_be_meant_for_another_plan() -> None:
    elsewhere = Deviation("GLARE-70", "camera/barn", "r", "A. Owner", until="2026-01-01")
    assert Policy([Loss()], {}, {}).accept([], [], [elsewhere], DAY) == ([], [])
