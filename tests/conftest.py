"""The real rules, loaded once, for tests that ask what the service makes of a build."""

import os

import pytest
from hypothesis import settings

from service.evaluation.planning.plan import make_plan
from service.evaluation.planning.resolve import Resolution
from service.evaluation.request import Request
from service.evaluation.running.run import run_plan
from service.rulebook.names import at_point, identifier
from tests.support.rules import load_once, real_evaluator, run_examples_once
from tests.support.server import SETTINGS

# What a developer's shell has set for a service of its own is not what is tested.
for name in (*SETTINGS, "http_proxy"):
    os.environ.pop(name, None)
# The same examples every run, and no clock: a busy machine must not fail a test.
settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=50)
settings.register_profile("thorough", deadline=None, max_examples=500)
settings.load_profile("repeatable")


def pytest_collection_modifyitems(items):
    """Properties are slow, one and all: many examples each."""
    for item in items:
        if getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
            item.add_marker(pytest.mark.slow)


@pytest.fixture(scope="session", autouse=True)
def _rules_read_once():
    """An app over the rules in force takes the ones this process has read already."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("service.app.load_rulebook", load_once)
        patch.setattr("service.app.run_examples", run_examples_once)
        yield


@pytest.fixture(scope="session")
def real_rules():
    return real_evaluator()


@pytest.fixture(scope="session")
def reply_to(real_rules):
    """The whole reply to a build."""
    return lambda build, **rest: real_rules.evaluate(Request(build, **{"detail": "full"} | rest))


@pytest.fixture(scope="session")
def judged(reply_to):
    """The entry of one check that is judged."""

    def judge(check, build):
        reply = reply_to(build, checks=(check,))
        assert [entry["check"] for entry in reply["checks"]] == [check], reply
        return reply["checks"][0]

    return judge


@pytest.fixture(scope="session")
def outcome(reply_to):
    """The verdict of one check, or the list it stands in instead."""

    def find(check, build):
        reply = reply_to(build, checks=(check,))
        for entry in reply["checks"]:
            return entry["verdict"]
        return "not_checked" if reply["open"]["count"] else "not_applicable"

    return find


@pytest.fixture(scope="session")
def work_out(real_rules):
    """A quantity of a build in SI, at an operating point where it has one."""

    def value(build, quantity, point=None):
        name = at_point(quantity, point) if point else identifier(quantity)
        known = real_rules.reader.read(build)
        plan = make_plan(Resolution(real_rules.rulebook, known), (), (name,))
        values, _failed = run_plan(plan, known, real_rules.rulebook.graph.slots).figures
        slot = real_rules.rulebook.graph.slots[name]
        assert values[slot] == values[slot], f"{quantity} cannot be worked out"
        return values[slot]

    return value
