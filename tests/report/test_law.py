"""What a report says of the law: the instruments that were held against the plan, and that the rest was not."""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.engine.round import Crash
from oneclimb.report import facts
from oneclimb.report.record import record
from oneclimb.report.words import law
from oneclimb.review import Review

CLASS_F = "SI 2015/596, Schedule 2, Part 2, Class F (England, planning), as of 2026-11-25"


def look(country: str, more: str = "") -> Review:
    """A plan with one camera in a country."""
    return kit.look(f"""
site: {{country: {country}, protected: false}}
house: {{front: {{faces: 180, width: 12}}, depth: 8}}
cameras: [{{id: cam, mount: {{wall: front, height: 2.8}}, night: none}}]
{more}
""")


def test_a_country_with_an_instrument_is_told_what_was_checked_as_of_when_and_that_the_rest_was_not() -> None:
    said = law(look("England"))
    assert said.startswith(f"Checked against {CLASS_F}, as far as the plan tells. ")
    assert "The rest of the law of England on planning, privacy and electrical work was not checked." in said
    assert said.endswith("A clean report is neither a permission nor a promise of safety.")


@pytest.mark.parametrize("country", ["Wales", "New England", "UK", "Norway"])
def test_a_country_without_one_is_not_checked_at_all(country: str) -> None:
    said = law(look(country))
    assert "Checked against" not in said
    assert said.startswith(f"The law of {country} on planning")


def test_the_json_form_names_the_instruments() -> None:
    for country, held in (("Scotland", "SI 1996/1266, Class 72"), ("Norway", "")):
        (plan,) = json.loads(record([look(country)], kit.packs()))["plans"]
        assert plan["law-checked"] is False
        assert [one.partition(" (")[0] for one in plan["instruments"]] == [held] * bool(held)


def test_a_rule_that_was_turned_off_or_failed_was_not_held_against_the_plan() -> None:
    off = look("England", "settings: {LOCAL-01: {level: none}}")
    assert not off.loaded.faults
    assert facts.instruments(off) == []
    failed = replace(look("England"), crashes=(Crash("LOCAL-01", None, "it raised", ""),))
    assert facts.instruments(failed) == []
    assert "Checked against" not in law(failed)
