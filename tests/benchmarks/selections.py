"""Selections over catalogs of growing size: CPU time, and how it grows with the parts."""

import gc
import time

from service.advice.selection import select
from service.advice.selection_request import SelectionRequest
from service.catalog.folder import read_folder
from service.evaluation.evaluate import Evaluator
from tests.support.grown_catalog import grown
from tests.support.places import CATALOG

OBJECTIVES = ("cheapest", "widest_margin", "fewest_changes")
# A whole engine or a kit fills several slots of these itself.
WHOLE = ("engine", "kit")
TIMES = (1, 10, 100)
SELECTION = {
    "usage": "street",
    "engine": {
        "redline": "6500 rpm",
        "peak_power_speed": "6200 rpm",
        "peak_torque_speed": "4400 rpm",
        "chamber_design": "four_valve",
    },
    "induction": {"boost": "9 psi", "crank_pulley_diameter": "190 mm"},
    "fuel": {"grade": "premium_93_aki"},
    "fuel_system": {"rail_pressure": "43.5 psi", "boost_referenced": "yes"},
    "driveline": {"layout": "rear", "final_drive_ratio": 3.55, "tyre_radius": "330 mm"},
    "vehicle": {"mass": "1600 kg"},
    "target": {"power": "480 hp", "power_at": "crank", "torque": "430 lb-ft", "torque_at": "crank"},
}


def report(evaluator: Evaluator, rounds: int) -> None:
    """Each objective over the fixed catalog and over ten and a hundred times its parts."""
    # As the service does before it answers: what is loaded is no concern of the collector.
    gc.collect()
    gc.freeze()
    fixed = read_folder(CATALOG, evaluator.reader)
    slots = tuple(slot for slot in fixed.slots if slot not in WHOLE)
    first = _seconds(evaluator, fixed, SelectionRequest(SELECTION, slots))[0]
    print(f"selection, first in a process, with the solver's import: {first:.2f} s")
    for objective in OBJECTIVES:
        asked = SelectionRequest(SELECTION, slots, objective)
        before = 0.0
        for times in TIMES:
            catalog = grown(fixed, times)
            parts = sum(len(catalog.slots[slot]) for slot in slots)
            figures = [_seconds(evaluator, catalog, asked) for _ in range(rounds if times == 1 else 2)]
            seconds = min(figure[0] for figure in figures)
            growth = f", {seconds / before:.1f} times a tenth of the parts" if before else ""
            proved = "proved" if figures[0][1] else "not proved"
            size = f"{len(slots)} slots, {parts} parts"
            print(f"selection, {size}, {objective}: {seconds:.2f} s{growth}, {proved}")
            before = seconds


def _seconds(evaluator: Evaluator, catalog, asked: SelectionRequest) -> tuple[float, bool]:
    """CPU time of a selection, and whether its best set is proved."""
    start = time.process_time()
    answer = select(evaluator, catalog, asked)
    return time.process_time() - start, answer["proved"]
