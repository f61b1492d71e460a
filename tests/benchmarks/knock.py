"""The knock-limited answer of all points against scipy's ODE solver on the same equations."""

import statistics
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, elementwise

from service.physics import recipe
from service.physics.end_gas import damped_speed, octane_for_integral
from service.physics.knock import knock_solution
from service.physics.slider_crank import volume_ratio
from service.physics.trapped_charge import heat_ratio
from service.physics.wiebe import burn_rate, progress_at

ROUNDS = 7
CALLS = 300
FIRST, LAST = recipe.BEST_TORQUE_PHASING, recipe.LATEST_PHASING
HALF, CUT = progress_at(0.5), progress_at(recipe.KNOCK_CUT)

# Of the methods and tolerances tried the cheapest that is about as exact as the service; and one to compare
# both with.
CHEAP = {"method": "RK45", "rtol": 1e-4, "atol": 3e-7}
TIGHT = {"method": "DOP853", "rtol": 1e-10, "atol": 1e-13}
CHEAP_ROOT, TIGHT_ROOT = np.radians(5e-3), 1e-10


def six_rows():
    """5.0 L, 8.8:1, 12 psi, 96 RON, charge 60 degC at 3,500, 6,000 and 2,500 rpm; then on a hot day with a
    poor tank.
    """
    speed = np.tile([3500.0, 6000.0, 2500.0], 2)
    charge = np.repeat([333.15, 348.15], 3)
    octane = np.repeat([96.0, 94.0], 3) - 10.0 * (-0.4 + (charge - 323.15) / 100.0)
    burn = np.radians(50.0) * (speed / 2500.0) ** 0.2
    return np.array(
        [
            np.full(6, 184.06e3),
            0.65 * charge + 142.0,
            octane,
            np.full(6, 8.8),
            np.full(6, 155 / 94),
            burn,
            speed * np.pi / 30,
            np.full(6, 0.9),
        ]
    )


class Stepped:
    """Rows stepped together through their cycles; state is pressure over manifold pressure, knock integral
    and work.
    """

    def __init__(self, rows, options):
        pressure, self.closing, self.octane, self.ratio, self.rod, self.burn, speed, mixture = rows
        self.heat = heat_ratio(self.closing, mixture)
        self.rate = (pressure / recipe.DELAY_PRESSURE_UNIT) ** recipe.DELAY_PRESSURE_EXPONENT / (
            recipe.DELAY_FACTOR * damped_speed(speed)
        )
        self.options = options

    def slopes(self, share, state, first, length, exponent, progress):
        """By the share of one stage, which runs over `length` of crank angle and over `progress`
        of the burn.
        """
        pressure = state.reshape(3, -1)[0]
        angle = first + share * length
        sine, cosine = np.sin(angle), np.cos(angle)
        volume_slope = (
            (self.ratio - 1)
            / self.ratio
            * sine
            / 2
            * (1 + cosine / np.sqrt(4 * self.rod**2 - sine**2))
            * length
        )
        release = self.heat * burn_rate(share * progress) * progress
        volume = volume_ratio(angle, self.ratio, self.rod)
        pressure_slope = ((exponent - 1) * release - exponent * pressure * volume_slope) / volume
        unburned = self.closing * pressure ** (1 - 1 / recipe.COMPRESSION_EXPONENT)
        knock_slope = (
            self.rate
            * length
            * pressure**recipe.DELAY_PRESSURE_EXPONENT
            * np.exp(-recipe.DELAY_TEMPERATURE / unburned)
        )
        return np.concatenate([pressure_slope, knock_slope, pressure * volume_slope])

    def cycle(self, phasing, burned):
        """State after compression and burn up to `burned`, a progress; after a whole burn also expansion."""
        start = phasing - HALF * self.burn
        state = np.concatenate([np.ones(len(start)), np.zeros(2 * len(start))])
        stages = [
            (np.full(len(start), -np.pi), start, recipe.COMPRESSION_EXPONENT, 0.0),
            (start, start + burned * self.burn, recipe.BURN_EXPONENT, burned),
        ]
        if burned == 1.0:
            stages.append((start + self.burn, np.full(len(start), np.pi), recipe.BURN_EXPONENT, 0.0))
        for first, last, exponent, progress in stages:
            state = solve_ivp(
                self.slopes, (0.0, 1.0), state, args=(first, last - first, exponent, progress), **self.options
            ).y[:, -1]
        return state.reshape(3, -1)

    def excess(self, phasing):
        """Octane required at a phasing over the octane of the fuel."""
        return octane_for_integral(self.cycle(phasing, CUT)[1]) - self.octane

    def work(self, phasing):
        return self.cycle(phasing, 1.0)[2]


def one_by_one(rows, options=CHEAP, tolerance=CHEAP_ROOT):
    """Brent's method on each row: phasing, requirement at best torque, share of the torque left."""
    answers = []
    for row in rows.T[:, :, None]:
        cycle = Stepped(row, options)
        at_best = cycle.excess(np.array([FIRST]))[0]
        phasing = (
            FIRST
            if at_best <= 0
            else brentq(lambda angle: cycle.excess(np.array([angle]))[0], FIRST, LAST, xtol=tolerance)
        )
        share = cycle.work(np.array([phasing])) / cycle.work(np.array([FIRST]))
        answers.append((phasing, at_best + row[2, 0], share[0]))
    return np.array(answers).T


def together(rows):
    """Scipy's cheapest way found: all rows in one system of equations, all roots found at once."""
    cycle = Stepped(rows, CHEAP)
    at_best = cycle.excess(np.full(rows.shape[1], FIRST))
    index = np.arange(rows.shape[1])
    found = elementwise.find_root(
        lambda angle, row: Stepped(rows[:, row], CHEAP).excess(angle),
        (FIRST, LAST),
        args=(index,),
        tolerances={"xatol": CHEAP_ROOT},
    )
    phasing = np.where(at_best <= 0, FIRST, found.x)
    return np.array(
        [phasing, at_best + rows[2], cycle.work(phasing) / cycle.work(np.full_like(phasing, FIRST))]
    )


def ours(rows):
    found = knock_solution(*rows)
    return np.array([found.phasing, found.octane_requirement, found.torque_share])


def microseconds(call, rows, calls):
    start = time.process_time()
    for _ in range(calls):
        call(rows)
    return (time.process_time() - start) / calls * 1e6


def spread(values):
    return f"{statistics.median(values):.0f} [{min(values):.0f}..{max(values):.0f}]"


def report():
    """Print times, ratios of interleaved rounds, and how far each way is from the tight answer."""
    rows = six_rows()
    exact = one_by_one(rows, TIGHT, TIGHT_ROOT)
    ways = {"service": (ours, CALLS), "scipy together": (together, 1), "scipy row by row": (one_by_one, 1)}
    for call, _ in ways.values():
        call(rows)
    rounds = [
        {name: microseconds(call, rows, calls) for name, (call, calls) in ways.items()} for _ in range(ROUNDS)
    ]
    for name, (call, _) in ways.items():
        off = np.abs(call(rows) - exact).max(axis=1)
        ratios = [one[name] / one["service"] for one in rounds]
        print(
            f"knock-limited answer of 6 points, {name}: {spread([one[name] for one in rounds])} us, "
            f"{spread(ratios)} times the service; "
            f"off by {np.degrees(off[0]):.4f} deg, {off[1]:.4f} octane numbers, {off[2]:.5f} of torque"
        )
