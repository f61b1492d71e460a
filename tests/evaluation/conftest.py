"""A small invented rulebook whose numbers are worked in the head, and builds drawn from the real one."""

from pathlib import Path

import pytest
from hypothesis import strategies as st

from service.evaluation.evaluate import Evaluator, Request
from service.evaluation.needs import Needs
from service.evaluation.resolve import Resolution
from service.rulebook.load import load_rulebook
from service.rulebook.units import DIMENSIONS

HERE = Path(__file__).resolve().parent
RULES = HERE.parents[1] / "rules"


@pytest.fixture(scope="session", params=["compiled", "reference"])
def winch(request):
    return Evaluator(load_rulebook(HERE / "winch_rules", request.param))


@pytest.fixture(scope="session")
def answer(winch):
    """The reply of the winch rulebook to a build."""
    return lambda build, **rest: winch.evaluate(Request(build, **rest))


@pytest.fixture(scope="session")
def entry(answer):
    """The entry of one check that is judged."""

    def judged(check, build, **rest):
        reply = answer(build, checks=(check,), **rest)
        assert [one["check"] for one in reply["checks"]] == [check], reply
        return reply["checks"][0]

    return judged


@pytest.fixture(scope="session")
def resolution(winch):
    return lambda build: Resolution(winch.rulebook, winch.reader.read(build))


@pytest.fixture(scope="session")
def needs(resolution):
    """What a name lacks, each group as a set."""

    def groups(build, name):
        found = Needs(resolution(build)).of(name)
        return None if found is None else {frozenset(group) for group in found}

    return groups


@pytest.fixture(scope="session")
def both():
    """The real rules under the compiled evaluator and under the reference."""
    return [Evaluator(load_rulebook(RULES, name)) for name in ("compiled", "reference")]


@pytest.fixture(scope="session")
def builds(both):
    """A strategy: any of the real inputs, numbers within what is possible, in any unit."""
    return _builds(list(both[0].rulebook.inputs.values()), both[0].rulebook)


@st.composite
def _builds(draw, inputs, rulebook):
    build: dict = {}
    for one in draw(st.lists(st.sampled_from([one for one in inputs if one.kind != "map"]), min_size=1, max_size=60, unique_by=lambda one: one.path)):
        (build.setdefault(one.group, {}) if one.group else build)[one.name] = draw(_value(one, rulebook))
    return build


def _value(one, rulebook):
    if one.kind == "number":
        return st.sampled_from(list(one.words)).flatmap(lambda dimension: _number(dimension, *one.form.possible[dimension]))
    if one.kind == "count":
        return st.integers(*one.possible_count)
    if one.kind == "curve":
        return _curve(one)
    return st.sampled_from(rulebook.words_of(one))


def _number(dimension, low, high):
    """Usually what fits in the middle of the range, now and then its ends."""
    units = DIMENSIONS[dimension].units
    offered = [units[text] for text in DIMENSIONS[dimension].offered]
    share = st.floats(0.001, 0.999) | st.sampled_from([0.001, 0.999])
    return st.builds(lambda unit, part: _text((low + part * (high - low) - unit.offset) / unit.factor, unit.text), st.sampled_from(offered), share)


def _text(number, unit):
    return f"{number:.6f} {unit}".strip() if unit else float(f"{number:.6f}")


def _curve(one):
    x, y = ((axis.word, next(unit for unit in DIMENSIONS[axis.dimension].offered if unit)) for axis in one.axes)
    rising = -1 if one.shape == "falling" else 1

    def points(steps):
        made, at, value = [], 1.0, 500.0
        for over, up in steps:
            made.append({x[0]: f"{at:.3f} {x[1]}", y[0]: f"{value:.3f} {y[1]}"})
            at, value = at + over, value + rising * up
        return made

    return st.lists(st.tuples(st.floats(0.5, 50), st.floats(0, 50)), min_size=2, max_size=8).map(points)
