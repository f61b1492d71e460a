"""A small invented rulebook whose numbers are worked in the head, and builds drawn from the real one."""

from pathlib import Path

import pytest
from hypothesis import strategies as st

from service.evaluation.evaluate import Evaluator
from service.evaluation.planning.needs import Needs
from service.evaluation.planning.resolve import Resolution
from service.evaluation.request import Request
from service.rulebook.load import load_rulebook
from service.units.units import DIMENSIONS

HERE = Path(__file__).resolve().parent
RULES = HERE.parents[1] / "rules"


@pytest.fixture(scope="session", params=["compiled", "reference"])
def winch(request):
    return Evaluator(load_rulebook(HERE / "winch_rules", request.param))


@pytest.fixture(scope="session")
def answer(winch):
    """The reply of the winch rulebook to a build."""
    return lambda build, **rest: winch.evaluate(Request(build, **{"detail": "full"} | rest))


@pytest.fixture(scope="session")
def entry(answer):
    """The entry of one check that is judged."""

    def judged(check, build, **rest):
        reply = answer(build, checks=(check,), **rest)
        assert [judged_entry["check"] for judged_entry in reply["checks"]] == [check], reply
        return reply["checks"][0]

    return judged


@pytest.fixture(scope="session")
def resolution(winch):
    return lambda build: Resolution(winch.rulebook, winch.reader.read(build))


@pytest.fixture(scope="session")
def needs(resolution):
    """What a name lacks, each group as a set."""

    def groups(build, name):
        needs = Needs(resolution(build)).of(name)
        return None if needs is None else {frozenset(group) for group in needs}

    return groups


@pytest.fixture(scope="session")
def both():
    """The real rules under the compiled evaluator and under the reference."""
    return [Evaluator(load_rulebook(RULES, name)) for name in ("compiled", "reference")]


@pytest.fixture(scope="session")
def builds(both):
    """A strategy: few or most of the real inputs, numbers within what is possible, in any unit."""
    rulebook = both[0].rulebook
    return st.builds(
        lambda chance, share: _build(rulebook, chance, share),
        st.randoms(use_true_random=False),
        st.sampled_from([0.1, 0.4, 0.7, 0.95]),
    )


def _build(rulebook, chance, share):
    build: dict = {}
    for field in rulebook.inputs.values():
        if field.kind != "map" and chance.random() < share:
            (build.setdefault(field.group, {}) if field.group else build)[field.name] = _value(
                field, rulebook, chance
            )
    return build


def _value(field, rulebook, chance):
    if field.kind == "number":
        dimension = chance.choice(list(field.words))
        low, high = field.usual.get(dimension) or field.form.possible[dimension]
        # Low values are the likelier ones, as possible ranges reach up to the largest engines.
        return _text(low + (high - low) * (0.001 + 0.998 * chance.random() ** 3), dimension, chance)
    if field.kind == "count":
        return chance.randint(
            field.possible_count[0], min(field.possible_count[1], field.possible_count[0] + 8)
        )
    if field.kind == "curve":
        return _curve(field, chance)
    return chance.choice(rulebook.words_of(field))


def _text(value, dimension, chance):
    unit = DIMENSIONS[dimension].units[chance.choice(DIMENSIONS[dimension].offered)]
    number = f"{(value - unit.offset) / unit.factor:.9f}"
    return f"{number} {unit.text}" if unit.text else float(number)


def _curve(field, chance):
    """Points in rising order of x, y rising or falling as the input wants it."""
    count = chance.randint(2, 8)
    columns = [
        sorted(chance.uniform(1, 1000) for _ in range(count)),
        sorted((chance.uniform(1, 1000) for _ in range(count)), reverse=field.shape == "falling"),
    ]
    words = [
        (axis.word, next(unit for unit in DIMENSIONS[axis.dimension].offered if unit)) for axis in field.axes
    ]
    return [
        {word: f"{number:.6f} {unit}" for (word, unit), number in zip(words, point, strict=True)}
        for point in zip(*columns, strict=True)
    ]
