import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import cycle, end_gas
from service.physics.trapped_charge import heat_ratio

ROD_RATIO = 146 / 86
RPM = np.pi / 30
SQUARE = {
    "rod_ratio": ROD_RATIO,
    "burn_duration": np.radians(50),
    "speed": 2500 * RPM,
    "air_fuel_lambda": 0.9,
}


def requirement(phasing, pressure, temperature, ratio, **changes):
    case = SQUARE | changes
    heat = heat_ratio(temperature, case["air_fuel_lambda"])
    burn = cycle.Burn(np.radians(phasing), ratio, case["rod_ratio"], case["burn_duration"], heat)
    return end_gas.octane_requirement(burn, end_gas.Charge(pressure, temperature), case["speed"])


def raw_integral(
    phasing, pressure, temperature, ratio, duration=50, rpm=2500, rod_ratio=ROD_RATIO, mixture=0.9
):
    duration = np.radians(duration)
    heat = heat_ratio(temperature, mixture)
    burn = cycle.Burn(np.radians(phasing), ratio, rod_ratio, duration, heat)
    history = cycle.burn_history(burn)
    return end_gas.knock_integral(history, burn, end_gas.Charge(pressure, temperature), rpm * RPM)


# Worked by hand from the correlation of Douaud & Eyzat, SAE 780080, 1978 (constants from memory).
@pytest.mark.parametrize(
    ("octane", "atmospheres", "temperature", "milliseconds"),
    [
        (100, 50, 900, 1.5593),
        (95, 50, 900, 1.3096),
        (90, 30, 850, 3.3286),
        (100, 80, 850, 0.8990),
        (95, 80, 900, 0.5890),
        (80, 40, 900, 1.0665),
    ],
)
def test_ignition_delay(octane, atmospheres, temperature, milliseconds):
    found = end_gas.ignition_delay(octane, atmospheres * 101325.0, temperature)
    assert found * 1e3 == pytest.approx(milliseconds, abs=6e-5)


# Worked by hand: the power law inverted.
@pytest.mark.parametrize(
    ("integral", "as_published", "recommended"),
    [
        (0.25, 66.53, 74.57),
        (0.5, 81.57, 85.20),
        (1.0, 100.0, 97.35),
        (2.0, 122.60, 111.23),
        (4.0, 150.30, 127.09),
    ],
)
def test_octane_for_integral(integral, as_published, recommended):
    assert end_gas.octane_for_integral(integral, 3.402, 1.0) == pytest.approx(as_published, abs=0.006)
    assert end_gas.octane_for_integral(integral) == pytest.approx(recommended, abs=0.006)


# Worked by script with steps of 0.1 degree (computed).
@pytest.mark.parametrize(
    ("pressure", "temperature", "integral", "as_published", "recommended"),
    [(1e5, 344.0, 1.111, 103.1, 99.3), (2e5, 352.0, 3.824, 148.3, 126.0)],
)
def test_worked_cycle(pressure, temperature, integral, as_published, recommended):
    found = raw_integral(8, pressure, temperature, 10)
    assert found == pytest.approx(integral, rel=1e-3)
    assert end_gas.octane_for_integral(found, 3.402, 1.0) == pytest.approx(as_published, abs=0.06)
    assert requirement(8, pressure, temperature, 10) == pytest.approx(recommended, abs=0.06)


# Regression grid, worked by script (computed), at 8, 16 and 24 degrees; tolerance 0.1.
GRID = {
    8: ((88.6, 82.1, 75.2), (102.3, 94.9, 87.2), (112.4, 104.3, 95.8)),
    9: ((94.1, 86.8, 79.2), (108.7, 100.4, 91.8), (119.4, 110.2, 100.9)),
    10: ((99.3, 91.1, 83.0), (114.7, 105.4, 96.2), (126.0, 115.8, 105.7)),
    11: ((104.2, 95.2, 86.6), (120.3, 110.2, 100.4), (132.2, 121.0, 110.3)),
    12: ((108.8, 99.1, 90.0), (125.6, 114.6, 104.3), (138.0, 125.9, 114.6)),
}


@pytest.mark.parametrize("ratio", GRID)
def test_regression_grid(ratio):
    phasing = np.array([8, 16, 24])
    pressure = np.array([1e5, 1.5e5, 2e5])[:, None]
    temperature = np.array([344.0, 352.0, 352.0])[:, None]
    assert requirement(phasing, pressure, temperature, ratio) == pytest.approx(np.array(GRID[ratio]), abs=0.1)


STEPPED = [
    (8, 1e5, 344.0, 10, {}),
    (24, 2e5, 390.0, 9, {"speed_rpm": 6000, "duration_degrees": 60}),
    (45, 2.5e5, 352.0, 12, {"speed_rpm": 1500, "duration_degrees": 45}),
    (60, 1.8e5, 400.0, 14, {"speed_rpm": 3500, "duration_degrees": 53, "air_fuel_lambda": 1.1}),
    (8, 3.0e5, 305.0, 7, {"speed_rpm": 8000, "duration_degrees": 72, "air_fuel_lambda": 0.75}),
]


@pytest.mark.parametrize(("phasing", "pressure", "temperature", "ratio", "changes"), STEPPED)
def test_octane_requirement_against_stepping(phasing, pressure, temperature, ratio, changes, stepped_cycle):
    integral = stepped_cycle(phasing, pressure, temperature, ratio, **changes)["knock_integral"]
    expected = 100 * (integral / 1.15) ** (1 / 5.2)
    found = requirement(
        phasing,
        pressure,
        temperature,
        ratio,
        burn_duration=np.radians(changes.get("duration_degrees", 50)),
        speed=changes.get("speed_rpm", 2500) * RPM,
        air_fuel_lambda=changes.get("air_fuel_lambda", 0.9),
    )
    assert found == pytest.approx(expected, abs=0.002)


# Published: typical carburetted engine without engine management, octane requirement against compression
# ratio. Hamilton, Gasoline FAQ, 1996.
PUBLISHED = np.array([72, 81, 87, 92, 96, 100, 104, 108])


def test_requirement_against_compression_ratio():
    found = requirement(8, 1e5, 344.0, np.arange(5, 13), burn_duration=np.radians(60))
    assert found == pytest.approx(PUBLISHED, abs=3.3)
    # Where engines of that time were built the fit is better than at the ends.
    assert found[2:6] == pytest.approx(PUBLISHED[2:6], abs=2.7)


@pytest.mark.parametrize(
    ("exponent", "criterion", "expected"),
    [
        (3.402, 1.0, [61.0, 71.0, 80.4, 89.3, 97.9, 106.2, 114.2, 121.9]),
        (5.2, 1.15, [70.5, 77.8, 84.4, 90.4, 96.0, 101.2, 106.2, 110.8]),
        (6.1, 1.20, [73.7, 80.1, 85.9, 91.1, 95.9, 100.4, 104.5, 108.4]),
    ],
)
def test_requirement_for_other_exponents(exponent, criterion, expected):
    # Worked by script (computed).
    found = end_gas.octane_for_integral(
        raw_integral(8, 1e5, 344.0, np.arange(5, 13), duration=60), exponent, criterion
    )
    assert found == pytest.approx(expected, abs=0.1)


# Published: Russ, SAE 960497, 1996 (single cylinder): 3 to 4 octane numbers per 10 kPa, 5 per unit of
# compression ratio, 1 per degree of spark, 1 per 7 K of intake air. What is asked here is how near the model
# comes.
def test_slope_with_intake_pressure():
    assert 3.0 <= requirement(8, 1.05e5, 344.0, 10) - requirement(8, 0.95e5, 344.0, 10) <= 4.0


@pytest.mark.parametrize(("low", "high"), [(8, 9), (9, 10)])
def test_slope_with_compression_ratio(low, high):
    assert requirement(8, 1e5, 344.0, high) - requirement(8, 1e5, 344.0, low) == pytest.approx(5.0, abs=0.7)


def test_slope_with_timing():
    assert (requirement(8, 1e5, 344.0, 10) - requirement(16, 1e5, 344.0, 10)) / 8 == pytest.approx(
        1.0, abs=0.1
    )


def test_slope_with_intake_temperature():
    # The closing temperature follows the intake by 0.65; the published slope needs it to follow one to one.
    following = [
        requirement(8, 1e5, 344.0 + share * 7, 10) - requirement(8, 1e5, 344.0, 10) for share in (0.65, 1.0)
    ]
    assert following[0] == pytest.approx(0.64, abs=0.02)
    assert following[1] == pytest.approx(1.0, abs=0.05)


def test_slope_with_speed():
    # From memory: 3 to 6 octane numbers less from 2,000 to 4,000 rpm on the road; undamped the model says 13.
    damped = requirement(8, 1e5, 344.0, 10, speed=4000 * RPM) - requirement(
        8, 1e5, 344.0, 10, speed=2000 * RPM
    )
    assert damped == pytest.approx(-6.5, abs=0.1)
    undamped = [end_gas.octane_for_integral(raw_integral(8, 1e5, 344.0, 10, rpm=rpm)) for rpm in (2000, 4000)]
    assert undamped[1] - undamped[0] == pytest.approx(-13, abs=0.2)


# The rating engine: bore 82.5 mm, stroke 114.3 mm (Hamilton, Gasoline FAQ, 1996), rod 254 mm from memory.
# Ratings 90 and 100 at 6.43:1 and 7.49:1 (ASTM D2699 guide table, second-hand). The rows are worked by script
# (computed).
@pytest.mark.parametrize(
    ("phasing", "pressure", "as_published", "recommended"),
    [(20, 0.9e5, (90.4, 100.9), (91.2, 97.9)), (13, 1.0e5, (105.0, 118.2), (100.5, 108.6))],
)
def test_rating_engine(phasing, pressure, as_published, recommended):
    found = raw_integral(phasing, pressure, 345.0, np.array([6.43, 7.49]), rpm=600, rod_ratio=254 / 114.3)
    assert end_gas.octane_for_integral(found, 3.402, 1.0) == pytest.approx(as_published, abs=0.15)
    assert end_gas.octane_for_integral(found) == pytest.approx(recommended, abs=0.15)
    exponent = np.log(found[1] / found[0]) / np.log(100 / 90)
    assert 3.4 < exponent < 3.9


def test_damping_leaves_the_reference_speed():
    assert end_gas.damped_speed(2500 * RPM) == pytest.approx(2500 * RPM)
    assert end_gas.damped_speed(10000 * RPM) == pytest.approx(5000 * RPM)


@given(st.floats(0.6e5, 3e5), st.floats(310, 420), st.floats(6, 14), st.floats(8, 55))
def test_integral_scales_with_pressure_to_the_power_of_the_correlation(pressure, temperature, ratio, phasing):
    single, double = (raw_integral(phasing, p, temperature, ratio) for p in (pressure, 2 * pressure))
    assert double == pytest.approx(single * 2**1.7)


@given(st.floats(0.6e5, 3e5), st.floats(310, 420), st.floats(6, 14), st.floats(1000, 8000), st.floats(40, 70))
def test_requirement_falls_with_later_phasing(pressure, temperature, ratio, rpm, duration):
    found = requirement(
        np.arange(8, 61, 1.0),
        pressure,
        temperature,
        ratio,
        speed=rpm * RPM,
        burn_duration=np.radians(duration),
    )
    assert np.all(np.diff(found) < 0)
