import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import charge

# All rows worked by hand from the rules' own coefficients (computed, no published source).
CELSIUS = 273.15


def closing(celsius, boosted, evaporation=0.0, floor=0.0):
    return charge.closing_temperature(
        celsius + CELSIUS, 0.65, 420.0, (-5.0 if boosted else 0.0) + evaporation, floor
    )


@pytest.mark.parametrize(
    ("celsius", "boosted", "evaporation", "expected"),
    [
        (35, False, 0.0, 347.3),
        (50, True, 0.0, 352.0),
        (100, True, 0.0, 384.5),
        (130, True, 0.0, 404.0),
        (50, True, -10.0, 342.0),
        (50, True, -29.0, 323.0),
        (50, True, -22.3, 329.7),
    ],
)
def test_closing_temperature(celsius, boosted, evaporation, expected):
    assert closing(celsius, boosted, evaporation) == pytest.approx(expected, abs=0.06)


def test_saturated_mixture_sets_a_floor():
    assert closing(73, True, -76.0, floor=300.0) == 300.0


@pytest.mark.parametrize(
    ("fuel", "heat", "ratio", "mixture", "per_air", "port", "direct", "ahead"),
    [
        ("petrol", 350, 14.6, 0.85, 28.2, 0.0, -10.7, 16.1),
        ("E10", 410, 14.05, 0.85, 34.3, -2.3, -15.4, 19.6),
        ("E30", 529, 12.88, 0.83, 49.5, -8.1, -27.0, 28.3),
        ("E70", 756, 10.62, 0.82, 86.8, -22.3, -55.4, 49.6),
        ("E85", 839, 9.80, 0.82, 104.4, -29.0, -68.8, 59.7),
        ("ethanol", 921, 9.0, 0.82, 124.8, -36.8, -84.3, 71.3),
        ("methanol", 1177, 6.46, 0.80, 227.7, -76.0, -162.8, 130.1),
    ],
)
def test_evaporation(fuel, heat, ratio, mixture, per_air, port, direct, ahead):
    heat_per_air = charge.evaporation_heat(heat * 1e3, ratio, mixture)
    assert heat_per_air / 1e3 == pytest.approx(per_air, abs=0.06)
    assert charge.evaporation_change(heat_per_air, 0.4, 11.3e3, 1050.0) == pytest.approx(port, abs=0.06)
    assert charge.evaporation_change(heat_per_air, 0.8, 11.3e3, 1050.0) == pytest.approx(direct, abs=0.1)
    assert charge.evaporation_ahead_of_compressor(heat_per_air, 0.6, 1050.0) == pytest.approx(ahead, abs=0.06)


def weight(celsius, highest=0.3):
    line = charge.WeightLine(-0.4, 50 + CELSIUS, 0.01, -0.5, highest)
    return charge.sensitivity_weight(celsius + CELSIUS, line)


@pytest.mark.parametrize(
    ("celsius", "highest", "expected"),
    [
        (50, 0.3, -0.40),
        (100, 0.3, 0.10),
        (130, 0.3, 0.30),
        (20, 0.3, -0.50),
        (75, 0.0, -0.15),
        (82, 0.0, -0.08),
        (87, 0.0, -0.03),
        (203, 0.0, 0.0),
    ],
)
def test_sensitivity_weight(celsius, highest, expected):
    assert weight(celsius, highest) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("research", "motor", "k", "expected"),
    [
        (95, 85, -0.4, 99.0),
        (91, 82, -0.4, 94.6),
        (106, 88, -0.40, 113.2),
        (106, 88, -0.15, 108.7),
        (106, 88, -0.08, 107.4),
        (106, 88, -0.03, 106.5),
        (107, 92, 0.30, 102.5),
        (107, 92, 0.0, 107.0),
    ],
)
def test_octane_index(research, motor, k, expected):
    assert charge.octane_index(research, motor, k) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(("k", "expected"), [(0.0, 95), (1.0, 85)])
def test_octane_index_in_the_rating_tests(k, expected):
    # K is 0 in the research and 1 in the motor test: Zhou et al., SAE 2017-01-0666, 2017.
    assert charge.octane_index(95, 85, k) == expected


@pytest.mark.parametrize(("rpm", "expected"), [(2500, 50.0), (3000, 51.9), (3500, 53.5), (6000, 59.6)])
def test_burn_duration(rpm, expected):
    assert charge.burn_duration(50.0, rpm, 2500.0, 0.2) == pytest.approx(expected, abs=0.06)


@given(st.floats(250, 500), st.floats(0, 100))
def test_closing_temperature_never_falls_with_a_hotter_manifold(temperature, step):
    cooler = charge.closing_temperature(temperature, 0.65, 420.0, floor=300.0)
    assert charge.closing_temperature(temperature + step, 0.65, 420.0, floor=300.0) >= cooler
