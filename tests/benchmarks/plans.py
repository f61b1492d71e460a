"""Builds that name other fields than any before: what a plan costs that is not kept, and a batch of 250."""

import gc
import random
import statistics

from service.evaluation.evaluate import PLANS_KEPT
from tests.benchmarks.builds import FULL
from tests.benchmarks.wsgi import caller, cpu_microseconds, echo_app
from tests.support.left_out import with_less

BUILDS = 250
# Fewer than plans are kept.
ASKED = 100
# Between most of the full spec and a third of it.
LEFT_OUT = (20, 90)


def report(app, rounds: int) -> None:
    """Print the first call of each build against the second, in echoes, and a batch of all of them."""
    rng = random.Random(17)
    batches = [[with_less(FULL, rng, rng.randint(*LEFT_OUT)) for _ in range(BUILDS)] for _ in range(rounds)]
    echo = cpu_microseconds(caller(echo_app(), "/echo", *({"build": build} for build in batches[0])), BUILDS)
    extra = []
    for batch, others in zip(batches, [*batches[1:], batches[0]], strict=True):
        call = caller(app, "/v1/evaluations", *({"build": build} for build in batch[:ASKED]))
        call_others = caller(app, "/v1/evaluations", *({"build": build} for build in others[:PLANS_KEPT]))
        cpu_microseconds(call, ASKED)
        # The others take the place of the plans; the cycles of the engines and the texts stay.
        cpu_microseconds(call_others, PLANS_KEPT)
        first, second = (cpu_microseconds(call, ASKED) for _ in range(2))
        extra.append((first - second) / echo)
    print(
        f"full spec with {LEFT_OUT[0]} to {LEFT_OUT[1]} fields left out, a plan not in the cache: "
        f"{statistics.median(extra):.0f} [{min(extra):.0f}..{max(extra):.0f}] echoes of {echo:.0f} us more"
    )
    milliseconds = []
    for builds in batches:
        call = caller(app, "/v1/evaluation-batches", {"builds": builds})
        gc.collect()
        milliseconds.append(cpu_microseconds(call, 1) / 1e3)
    print(
        f"a batch of {BUILDS} builds that all name other fields: {statistics.median(milliseconds):.0f} "
        f"[{min(milliseconds):.0f}..{max(milliseconds):.0f}] ms"
    )
