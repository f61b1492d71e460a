"""A short slice of the proofs under load: a worker killed in the middle, and the same bytes from other
processes.
"""

import pytest

from tests.benchmarks.builds import EIGHTEEN_FIELDS
from tests.proof.faults.worker_killed import holds, kill_one
from tests.proof.load import Question, evaluation, run_for
from tests.proof.same_bytes import ask_all, bodies_of
from tests.support.expected import answer, questions
from tests.support.server import Server

pytestmark = pytest.mark.slow


@pytest.fixture
def app(apps):
    return apps["compiled"]


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    with Server(tmp_path_factory.mktemp("server"), PYTHONHASHSEED="1") as running:
        yield running


def test_a_killed_worker_costs_what_was_in_flight_on_it_and_is_replaced(server, app):
    before = {one.pid for one in server.workers()}
    tally, open_there, _, killed_at = kill_one(
        server, questions([evaluation(EIGHTEEN_FIELDS)], app), seconds=2
    )
    assert holds(tally, open_there), (tally.samples, str(tally))
    assert any(one.sent > killed_at for one in tally.answers)
    assert len(before & {one.pid for one in server.workers()}) == 1


def test_the_load_sees_wrong_bytes(server):
    """What the proofs rest on: another answer than the one expected is counted."""
    tally = run_for(2.0, server.port, [Question(evaluation(EIGHTEEN_FIELDS), ((200, b"{}"),))], connections=2)
    assert tally.wrong > 0 and not tally.answers


def test_the_same_bytes_from_other_processes_and_hash_seeds(server, app, tmp_path):
    bodies = bodies_of(20)
    first, workers = ask_all(server, bodies, life=1)
    with Server(tmp_path, PYTHONHASHSEED="2") as again:
        second, other_workers = ask_all(again, bodies, life=2)
    assert min(workers.values()) > 0 and min(other_workers.values()) > 0
    assert first == second == [answer(app, body) for body in bodies]
