"""A master that cannot fork keeps its workers and tries again."""

from types import SimpleNamespace

import pytest

from service.web.server.patient_master import make_patient


@pytest.fixture
def master():
    """One whose forks fail while the list holds something."""
    failing, said = [True], []

    def fork():
        if failing:
            raise BlockingIOError(11, "Resource temporarily unavailable")
        return 4711

    log = SimpleNamespace(error=lambda text, *words: said.append(text % words))
    made = SimpleNamespace(spawn_worker=fork, reexec=fork, log=log, failing=failing, said=said)
    make_patient(made)
    return made


@pytest.mark.parametrize("act", ["spawn_worker", "reexec"])
def test_it_says_so_once_and_goes_on(master, act):
    assert [getattr(master, act)() for _ in range(3)] == [None] * 3
    assert len(master.said) == 1 and "Resource temporarily unavailable" in master.said[0]
    master.failing.clear()
    assert getattr(master, act)() == 4711


def test_what_is_no_lack_of_something_is_not_hidden(master):
    master.failing[:] = []
    made = SimpleNamespace(spawn_worker=lambda: 1 / 0, reexec=None, log=master.log)
    make_patient(made)
    with pytest.raises(ZeroDivisionError):
        made.spawn_worker()
