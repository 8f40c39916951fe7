"""Cover and separation against the tables as printed."""

from __future__ import annotations

import pytest

from oneclimb.trade import burial

PRINTED = {
    # NFPA 70 table 300.5, inches, as reproduced in print; the first three columns
    "ground": (24, 6, 18),
    "under 50 mm concrete in the trench": (18, 6, 12),
    "under a 100 mm slab without vehicles": (18, 4, 4),
    "road": (24, 24, 24),
    "house driveway": (18, 18, 18),
    "airport runway": (18, 18, 18),
}


@pytest.mark.parametrize("place", PRINTED)
def test_the_metric_table_is_the_printed_one_in_inches(place: str) -> None:
    for method, inches in zip(burial.NETWORK, PRINTED[place], strict=True):
        assert burial.cover(method, place) == pytest.approx(inches * 0.0254, abs=0.0101)


def test_a_residential_branch_and_a_thirty_volt_circuit_have_columns_of_their_own() -> None:
    # the same table: 12 in. and 6 in. elsewhere; 12 and 18 under a house's driveway
    assert [burial.cover(method) for method in burial.METHODS[3:]] == [0.3, 0.15]
    assert [burial.cover(method, "house driveway") for method in burial.METHODS[3:]] == [0.3, 0.45]


def test_under_a_building_nothing_lies_without_conduit() -> None:
    assert burial.cover("direct", "under a building") is None
    assert burial.cover("plastic conduit", "under a building") == 0.0
    assert not burial.misread(0.2, "direct", "under a building")


def test_every_place_has_a_depth_for_every_conduit() -> None:
    for place in burial.PLACES:
        assert burial.cover("metal conduit", place) is not None
    with pytest.raises(KeyError):
        burial.cover("direct", "beach")
    with pytest.raises(KeyError):
        burial.cover("hung from trees")


@pytest.mark.parametrize(
    ("depth", "method", "place", "trap"),
    [
        (0.15, "direct", "ground", True),  # six inches: column 5, not for a network cable
        (0.30, "plastic conduit", "ground", True),
        (0.45, "plastic conduit", "ground", False),
        (0.10, "direct", "ground", False),  # too shallow by any column
        (0.15, "metal conduit", "ground", False),
        (0.45, "direct", "road", False),  # no column lets a road have less
        (0.30, "direct", "house driveway", True),
    ],
)
def test_a_depth_that_only_another_circuits_column_allows_is_seen(
    depth: float, method: str, place: str, trap: bool
) -> None:
    assert burial.misread(depth, method, place) is trap


def test_gaps_are_the_printed_inches_and_feet() -> None:
    # NEC 800.133 (2 in.), 800.53 (6 ft), as quoted in print
    gaps = (burial.MAINS_GAP, burial.LIGHTNING_GAP)
    assert gaps == pytest.approx((2 * 0.0254, 6 * 0.3048), rel=0.02)


def test_segregation_grows_with_circuits_and_with_a_poorer_screen() -> None:
    # EN 50174-2, from memory: unscreened cable 100 mm at 13 to 15 circuits, a fifth of it at up to three
    assert burial.segregation("b", 15) == pytest.approx(0.1)
    assert burial.segregation("b", 1) == pytest.approx(0.02)
    assert burial.segregation("b", 200) == pytest.approx(0.6)
    for circuits in (1, 4, 16, 50):
        gaps = [burial.segregation(cable, circuits) for cable in "abcd"]
        assert gaps == sorted(gaps, reverse=True)
        assert burial.segregation("c", circuits) < burial.segregation("c", circuits + 30)
