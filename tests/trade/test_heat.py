"""Heat against ASHRAE's sol-air figures, textbook heat transfer and a heat balance solved outright."""

import pytest

from oneclimb.trade import heat

BTU = 5.678263
"""W/(m2 K) for 1 Btu/(h ft2 F)"""


def test_the_film_is_ashraes() -> None:
    # ASHRAE's sol-air: h_o 3.0 Btu/(h ft2 F), as restated in print
    assert heat.FILM[1] == pytest.approx(3.0 * BTU, abs=0.05)


@pytest.mark.parametrize(("light_or_dark", "share"), [(0.15, 0.45), (0.30, 0.90)])
def test_light_and_dark_walls_by_ashraes_ratio(light_or_dark: float, share: float) -> None:
    # ASHRAE: absorptance over film 0.15 for light, 0.30 for dark (h ft2 F/Btu), as restated in print; 7 F for the sky
    # 95 F air, 250 Btu/(h ft2): 95 + ratio * 250 - 7
    fahrenheit = 95.0 + light_or_dark * 250.0 - 7.0
    got = heat.sol_air(35.0, 250.0 * 3.154591, share, sky=7.0 / 1.8)
    assert got == pytest.approx((fahrenheit - 32) / 1.8, abs=0.1)


def test_the_range_of_films_is_that_of_still_air_and_a_breeze() -> None:
    # textbook: radiation 4 eps sigma T^3 at 300 K; free convection 4 to 5; McAdams in wind, 5.7 + 3.8 v, at 3.4 m/s
    radiation = 4 * 0.9 * 5.670374e-8 * 300.0**3
    assert heat.FILM[0] == pytest.approx(radiation + 4.5, abs=0.6)
    assert heat.FILM[2] == pytest.approx(radiation + 5.7 + 3.8 * 3.4, abs=1.0)


def test_a_plate_in_the_sun_settles_where_its_heat_balance_does() -> None:
    # absorbed = convected + radiated from one face, the other insulated: solved by halving, no linearisation
    sun, air, take = 1000.0, 30.0, 0.3
    low, high = air, air + 80.0
    for _ in range(60):
        t = (low + high) / 2
        out = 12.0 * (t - air) + 0.9 * 5.670374e-8 * ((t + 273.15) ** 4 - (air + 273.15) ** 4)
        low, high = (t, high) if out < take * sun else (low, t)
    assert heat.sol_air(air, sun, take, 12.0 + 4 * 0.9 * 5.670374e-8 * 308.0**3) == pytest.approx(t, abs=1.0)


@pytest.mark.parametrize("colour", sorted(heat.ABSORPTANCE))
def test_the_sun_always_warms_and_the_range_is_in_order(colour: str) -> None:
    low, usual, high = heat.felt(35.0, heat.STRONG_SUN, colour)
    assert 35.0 < low < usual < high
    assert heat.felt(35.0, 0.0, colour) == (35.0, 35.0, 35.0)


def test_black_is_hotter_than_white() -> None:
    white, black = heat.felt(35.0, 1000.0, "white"), heat.felt(35.0, 1000.0, "black")
    assert all(dark > light for light, dark in zip(white, black, strict=True))
    # a white camera in a 35 °C sun stays within the usual rating of 60 °C, a black one may not
    assert white[1] < 60.0
    assert black[2] > 60.0


def test_a_ball_catches_a_quarter_of_what_it_sheds() -> None:
    # pi r^2 against 4 pi r^2
    assert heat.LIT[0] == 0.25


def test_own_watts_leave_by_the_skin() -> None:
    low, usual, high = heat.own(6.8, 0.04)
    assert usual == pytest.approx(10.0)
    assert low < usual < high
    assert heat.own(0.0) == (0.0, 0.0, 0.0)
