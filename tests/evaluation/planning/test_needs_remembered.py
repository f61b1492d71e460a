"""What a name lacks is remembered by what was said of the inputs behind it: the same as worked out anew."""

import random

import pytest

from service.evaluation.evaluate import Evaluator
from service.evaluation.planning.check_names import NamesRead
from service.evaluation.planning.needs import Needs
from service.evaluation.planning.resolve import Resolution
from tests.benchmarks.builds import FULL
from tests.support.left_out import with_less
from tests.support.random_builds import random_builds
from tests.support.rules import real_rulebook


@pytest.fixture(scope="module")
def evaluator():
    return Evaluator(real_rulebook())


def names_judged(rulebook):
    read = NamesRead(rulebook)
    names = {
        name
        for check in rulebook.checks.values()
        if check.judges
        for point in (*check.points, *check.also_at, *check.second_look, None)
        for name in read.of(check, point)
    }
    return sorted(names)


def test_random_builds_lack_the_same_as_without_memory(evaluator):
    names = names_judged(evaluator.rulebook)
    assert len(names) > 100
    lacking = 0
    rng = random.Random(17)
    # The full spec with fields left out: what they say of the inputs behind a name is often the same.
    builds = [with_less(FULL, rng, rng.randint(5, 120)) for _ in range(60)]
    for build in [*random_builds(40, seed=17), *builds]:
        resolution = Resolution(evaluator.rulebook, evaluator.read(build))
        remembering, fresh = Needs(resolution), Needs(resolution)
        for name in names:
            if not resolution.known(name):
                lacking += 1
                assert remembering.remembered(name) == (fresh.of(name) or []), name
    assert lacking > 1000
