"""Weather corrections against tables worked elsewhere and an independent property library."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from service.dyno.weather import (
    STANDARDS,
    corrections,
    din_70020,
    dry_pressure,
    iso_1585,
    sae_j1349_1990,
    sae_j1349_2004,
    sixty_fahrenheit,
    vapour_pressure,
)

HECTOPASCAL, INCH = 100.0, 3386.389

# Worked by hand from the published forms, the same number taken as dry (DIN: as whole) pressure, T = t + 273
# K.
TABLE = [
    # hPa, degC, J1349-1990, J1349-2004, ISO 1585, DIN 70020, 60 degF
    (990, 25, 1.00000, 1.00000, 1.00000, 1.03193, 1.04009),
    (970, 35, 1.04437, 1.04422, 1.04529, 1.07073, 1.07919),
    (1000, 15, 0.96843, 0.96854, 0.96798, 1.00432, 1.01227),
    (950, 30, 1.05996, 1.05975, 1.06128, 1.08436, 1.09293),
]


@pytest.mark.parametrize("row", TABLE)
def test_the_table(row):
    pressure, celsius, *published = row
    temperature = celsius + 273.15
    got = [
        factor(pressure * HECTOPASCAL, temperature)
        for factor in (sae_j1349_1990, sae_j1349_2004, iso_1585, din_70020)
    ]
    assert got == pytest.approx(published[:4], abs=2e-5)
    # The table takes 1013.25 hPa for 29.92 inHg, which is 1013.21.
    assert sixty_fahrenheit(pressure * HECTOPASCAL, temperature) == pytest.approx(published[4], abs=7e-5)


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "inches", "factor"), [(85, 0.85, 28.85, 1.1005), (55, 0.35, 30.10, 0.994)]
)
def test_two_printed_sheets(fahrenheit, humidity, inches, factor):
    """Common practice: two sheets of a dyno, 400 hp to 440 and 442 to 440."""
    temperature = (fahrenheit + 459.67) / 1.8
    assert sixty_fahrenheit(dry_pressure(inches * INCH, temperature, humidity), temperature) == pytest.approx(
        factor, abs=1e-3
    )


def test_a_dyno_at_1600_metres():
    """Worked by hand: 828 hPa dry, 25 degC: 1.230 by SAE J1349, computed and not to be believed."""
    by_standard = {correction.word: correction for correction in corrections(82800.0, 298.15, 0.0)}
    assert by_standard["sae_j1349_august_2004"].factor == pytest.approx(1.230, abs=5e-4)
    assert (
        "factor" in by_standard["sae_j1349_august_2004"].outside
        and not by_standard["sae_j1349_august_2004"].comparable
    )


@pytest.mark.parametrize("celsius", [1, 10, 20, 25, 30, 40, 50])
def test_vapour_pressure_against_the_steam_tables(celsius):
    """CoolProp (IAPWS-95): saturated water."""
    assert vapour_pressure(celsius + 273.15) == pytest.approx(
        PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water"), rel=1.5e-3
    )


@given(st.floats(85_000, 105_000), st.floats(265, 315), st.floats(0, 1))
def test_thin_warm_damp_air_is_corrected_up(pressure, temperature, humidity):
    now = {correction.word: correction.factor for correction in corrections(pressure, temperature, humidity)}
    for word in STANDARDS:
        assert {
            correction.word: correction.factor
            for correction in corrections(pressure * 0.99, temperature, humidity)
        }[word] > now[word]
        assert {
            correction.word: correction.factor
            for correction in corrections(pressure, temperature + 1, humidity)
        }[word] > now[word]
        assert {correction.word: correction.factor for correction in corrections(pressure, temperature, 0.0)}[
            word
        ] <= now[word] + 1e-12


def test_the_german_standard_takes_the_whole_barometer():
    dry, damp = corrections(99_000.0, 303.0, 0.0), corrections(99_000.0, 303.0, 0.9)
    assert (
        next(correction for correction in dry if correction.word == "din_70020").factor
        == next(correction for correction in damp if correction.word == "din_70020").factor
    )


def test_the_old_standard_is_about_four_per_cent_kinder():
    """Common practice."""
    assert sixty_fahrenheit(99_000.0, 298.15) / sae_j1349_2004(99_000.0, 298.15) == pytest.approx(
        1.04, abs=0.005
    )


def test_more_vapour_than_air_is_refused():
    with pytest.raises(ValueError):
        corrections(1000.0, 320.0, 1.0)


@pytest.mark.parametrize(
    ("factor", "pressure", "celsius"),
    [(sae_j1349_1990, 990, 25), (sae_j1349_2004, 990, 25), (iso_1585, 990, 25), (din_70020, 1013, 20)],
)
def test_a_standard_changes_nothing_in_its_own_weather(factor, pressure, celsius):
    assert factor(pressure * HECTOPASCAL, celsius + 273.15) == pytest.approx(1.0, abs=1e-12)


def test_a_hot_day_is_outside_though_the_factor_is_not():
    hot = {correction.word: correction for correction in corrections(99_000.0, 315.15, 0.0)}["iso_1585"]
    assert 0.93 < hot.factor < 1.07 and "air temperature" in hot.outside and not hot.comparable
