"""Builds that each need a plan of their own, through one evaluator whose cache turns over all the while, some
of them asked again: every answer beside that of an evaluator that has answered nothing before.
"""

import random
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import islice

import orjson

from service.errors import SpecError
from service.evaluation.evaluate import PLANS_KEPT, Evaluator
from service.evaluation.request import Request
from service.evaluation.running import run
from service.rulebook.load import load_rulebook
from tests.support.builds import BUILDS
from tests.support.places import RULES
from tests.support.random_builds import unlike_builds
from tests.support.rules import real_rulebook

PLANS = 20_000
DETAILS = ("spoken", "summary", "full")
# An evaluator that speaks other words stands behind the first one and is dear to make: asked less often.
UNITS, SHARES = ("metric", "us"), (9, 1)
# Few fields drawn come to a knock integral; these groups make sure of it.
WITH_KNOCK = BUILDS["5.0 L V8, screw blower"]
# Asked again are builds whose plan may still be kept, and such as have fallen out.
REMEMBERED = 3 * PLANS_KEPT
# What plans share is kept with the rulebook, so that is read anew from time to time as well.
BUILDS_OF_ONE_RULEBOOK = 2_000


@dataclass
class Turned:
    """How many builds were asked and asked again, how many plans they took, and which answers differ."""

    asked: int = 0
    again: int = 0
    refused: int = 0
    plans: set = field(default_factory=set)
    differing: list[Request] = field(default_factory=list)


def turn_over(builds: int, seed: int = 20) -> Turned:
    """Asks so many builds of one evaluator, and each of a fresh one."""
    source, used, turned = random.Random(seed), Evaluator(real_rulebook()), Turned()
    before: deque[tuple[Request, bytes]] = deque(maxlen=REMEMBERED)
    for number, build in enumerate(islice(unlike_builds(seed), builds)):
        if number % BUILDS_OF_ONE_RULEBOOK == 0:
            rulebook = load_rulebook(RULES)
        (units,) = source.choices(UNITS, SHARES)
        more = _knocking(source) if number // 3 % 2 else {}
        request = Request(build | more, source.choice(DETAILS), units)
        with _no_cycle_remembered():
            expected = _digest(Evaluator(rulebook), request)
        turned.asked += 1
        turned.refused += expected == REFUSED
        turned.plans.add(used.reader.read(request.build).key() if expected != REFUSED else ())
        for asked, digest in [(request, expected), *_again(source, before)]:
            if _digest(used, asked) != digest:
                turned.differing.append(asked)
        turned.again += len(before) > 0
        before.append((request, expected))
    return turned


REFUSED = b"refused"


def _knocking(source: random.Random) -> dict:
    engine = WITH_KNOCK["engine"] | {"compression_ratio": round(source.uniform(8, 11), 3)}
    boost = {"boost": f"{source.uniform(3, 15):.2f} psi"}
    return {"engine": engine, "induction": WITH_KNOCK["induction"] | boost, "fuel": WITH_KNOCK["fuel"]}


def _again(source: random.Random, before: deque) -> Iterator[tuple[Request, bytes]]:
    if before:
        yield source.choice(before)


def _digest(evaluator: Evaluator, request: Request) -> bytes:
    try:
        return sha256(orjson.dumps(evaluator.evaluate(request))).digest()
    except SpecError:
        return REFUSED


@contextmanager
def _no_cycle_remembered():
    remembered = run._results_together
    run._results_together = remembered.__wrapped__
    try:
        yield
    finally:
        run._results_together = remembered


def prove(plans: int = PLANS) -> bool:
    """Prints how many plans there were and how many answers differ."""
    turned = turn_over(plans)
    cycles = run._results_together.cache_info()
    print(
        f"{turned.asked:,} builds, {turned.again:,} of them asked again, {turned.refused:,} refused: "
        f"{len(turned.plans):,} plans through a cache of {PLANS_KEPT}, {cycles.misses:,} cycles through one "
        f"of {cycles.maxsize:,}; answers that differ from a fresh evaluator's {len(turned.differing)}"
    )
    for request in turned.differing[:3]:
        print(f"  differs: {str(request)[:300]}")
    return not turned.differing and cycles.currsize == cycles.maxsize
