import numpy as np
import pytest
from scipy.integrate import solve_ivp


def step_cycle(
    phasing_degrees,
    manifold_pressure,
    closing_temperature,
    compression_ratio,
    bore=0.086,
    stroke=0.086,
    rod_length=0.146,
    duration_degrees=50.0,
    speed_rpm=2500.0,
    air_fuel_lambda=0.9,
    damped=True,
):
    """The same equations in real volumes, stepped through the crank angle by scipy; nothing taken from the
    service.
    """
    radius, area = stroke / 2, np.pi / 4 * bore**2
    clearance = area * stroke / (compression_ratio - 1)
    duration = np.radians(duration_degrees)
    start = np.radians(phasing_degrees) - duration * (np.log(2) / 5) ** (1 / 3)
    bottom = area * stroke + clearance
    mass = manifold_pressure * bottom / (287 * closing_temperature)
    air = 0.95 * mass * 14.6 * air_fuel_lambda / (1 + 14.6 * air_fuel_lambda)
    heat = 0.98 * 44e6 * 0.85 * air / (14.6 * max(1, air_fuel_lambda))
    speed = speed_rpm * np.pi / 30
    if damped:
        speed = 2500 * np.pi / 30 * (speed_rpm / 2500) ** 0.5

    def volume(angle):
        return clearance + area * (
            radius
            + rod_length
            - radius * np.cos(angle)
            - np.sqrt(rod_length**2 - (radius * np.sin(angle)) ** 2)
        )

    def volume_slope(angle):
        sine, cosine = np.sin(angle), np.cos(angle)
        return area * radius * sine * (1 + radius * cosine / np.sqrt(rod_length**2 - (radius * sine) ** 2))

    def slopes(angle, state, exponent, burning):
        pressure = state[0]
        progress = (angle - start) / duration
        release = heat * 15 * progress**2 * np.exp(-5 * progress**3) / duration if burning else 0.0
        pressure_slope = (-exponent * pressure * volume_slope(angle) + (exponent - 1) * release) / volume(
            angle
        )
        unburned = closing_temperature * (pressure / manifold_pressure) ** (0.33 / 1.33)
        delay = 17.68e-3 * (pressure / 101325) ** -1.7 * np.exp(3800 / unburned)
        return [pressure_slope, 1 / (delay * speed), pressure * volume_slope(angle)]

    options = {"rtol": 1e-10, "atol": 1e-12, "dense_output": True, "method": "DOP853"}
    compression = solve_ivp(slopes, (-np.pi, start), [manifold_pressure, 0, 0], args=(1.33, False), **options)
    burn = solve_ivp(slopes, (start, start + duration), compression.y[:, -1], args=(1.30, True), **options)
    after = solve_ivp(slopes, (start + duration, np.pi), burn.y[:, -1], args=(1.30, False), **options)

    def pressure(angle):
        pieces = (compression, burn, after)
        piece = pieces[int(angle > start) + int(angle > start + duration)]
        return float(piece.sol(angle)[0])

    cut = start + duration * (np.log(10) / 5) ** (1 / 3)
    return {
        "pressure": pressure,
        "knock_integral": float(burn.sol(cut)[1]),
        "mean_effective_pressure": float(after.y[2, -1]) / (area * stroke),
    }


@pytest.fixture(scope="session")
def stepped_cycle():
    return step_cycle
