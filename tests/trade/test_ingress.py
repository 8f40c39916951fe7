"""Water and salt at a connector."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import ingress

DRY = ("box", "housing", "indoors")


def test_the_spray_angle_is_that_of_second_characteristic_numeral_3() -> None:
    # IEC 60529, second characteristic numeral 3: spraying water up to 60 degrees from the vertical
    assert ingress.SPRAY == 60.0


def test_salt_falls_off_exponentially_and_is_nearly_gone_a_kilometre_inland() -> None:
    # exponential fall over the first 400 to 600 m: Feliu, Morcillo and Chico, Corrosion 55 (1999) 883
    assert ingress.salt(0.0) == 2.0
    assert ingress.salt(500.0) / ingress.salt(0.0) == pytest.approx(math.exp(-1))
    assert ingress.salt(300.0) / ingress.salt(100.0) == pytest.approx(ingress.salt(500.0) / ingress.salt(300.0))
    assert ingress.salt(1000.0) < 0.15 * ingress.salt(0.0)


def test_the_worst_place_scores_ten() -> None:
    worst = ingress.shelter_score("open", 1.0, ()) + ingress.salt(0.0) + ingress.air(("fog", "driving-rain"))
    assert worst == 10.0


@pytest.mark.parametrize("sits", DRY)
def test_boxes_housings_and_rooms_are_dry(sits: str) -> None:
    assert ingress.is_dry(sits)


@pytest.mark.parametrize("sits", ["open", "eave", "soffit", "cavity"])
def test_soffits_and_cavities_count_as_damp(sits: str) -> None:
    assert not ingress.is_dry(sits)


@given(a=st.floats(0, 1), b=st.floats(0, 1), sits=st.sampled_from(sorted(ingress.DAMP)))
def test_more_rain_never_scores_less_and_a_dry_climate_never_more(a: float, b: float, sits: str) -> None:
    low, high = sorted((a, b))
    assert ingress.shelter_score(sits, low, ()) <= ingress.shelter_score(sits, high, ())
    assert ingress.shelter_score(sits, a, ("dry",)) <= ingress.shelter_score(sits, a, ())


def test_tape_holds_to_its_date_and_not_a_day_longer() -> None:
    assert ingress.leak("tape", "2026-06-01", "2026-06-01") == 0.0
    assert ingress.leak("tape", "2026-06-01", "2026-06-02") == 1.0


def test_tape_without_a_date_lies_between_a_seal_and_none() -> None:
    today = "2026-06-01"
    assert ingress.leak("gland", None, today) < ingress.leak("tape", None, today) < ingress.leak("none", None, today)


def test_every_seal_but_none_and_tape_fits_at_some_time() -> None:
    assert set(ingress.LEAK) == {"none", "tape", *ingress.BEFORE_THE_PLUG, *ingress.AFTER_THE_PLUG}
