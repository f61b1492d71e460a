"""Searches on a ladder against looking at every rung."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.advice.search import farthest, in_window, nearest

RUNGS = st.integers(-500, 2000)


@given(RUNGS, RUNGS, RUNGS)
def test_nearest_against_every_rung(first, last, threshold):
    way = 1 if last >= first else -1
    will_do = (lambda rung: rung >= threshold) if way > 0 else (lambda rung: rung <= threshold)
    every = next((rung for rung in range(first, last + way, way) if will_do(rung)), None)
    assert nearest(first, last, will_do) == every


@given(RUNGS, RUNGS, RUNGS)
def test_farthest_against_every_rung(first, last, threshold):
    way = 1 if last >= first else -1
    will_do = lambda rung: (rung - first) * way <= abs(threshold)
    good = [rung for rung in range(first, last + way, way) if will_do(rung)]
    assert farthest(first, last, will_do) == good[-1]


@given(st.integers(0, 400), st.sets(st.integers(0, 400), max_size=40))
def test_what_is_found_will_do_and_its_neighbour_will_not(last, good):
    rung = nearest(0, last, good.__contains__)
    if rung is None:
        assert last not in good
    else:
        assert rung in good and (rung == 0 or rung - 1 not in good)


@given(st.integers(1, 10**7), st.integers(1, 10**7))
def test_the_trials_are_few(last, threshold):
    tried = []
    nearest(0, last, lambda rung: bool(tried.append(rung)) or rung >= threshold)
    assert len(tried) <= 2 * 24 + 2


@pytest.mark.parametrize("last", [2**24, 10**12])
def test_the_last_rung_is_looked_at_however_far_it_is(last):
    """Giving up on the way once told of a limit that it was not there."""
    assert nearest(0, last, lambda rung: rung >= last - 1) == last - 1
    assert farthest(0, last, lambda rung: rung < last - 1) == last - 2
    assert nearest(0, last, lambda rung: False) is None


@pytest.mark.parametrize("first", [0, 200])
def test_a_window_that_strides_step_over_is_found(first):
    """Good from 86 to 98 only; near it is better than far from it."""
    seen = {}

    def badness(rung):
        return 0 if 86 <= rung <= 98 else 1 if 60 <= rung <= 130 else 2

    def will_do(rung):
        seen[rung] = badness(rung)
        return seen[rung] == 0

    assert nearest(first, 200 - first, will_do) is None
    found = in_window(dict(seen), will_do)
    assert found is not None and badness(found) == 0


def test_no_window_is_looked_for_where_nothing_came_nearer():
    looked_at = []
    assert in_window({0: 2, 1: 2, 3: 2, 7: 3}, lambda rung: bool(looked_at.append(rung))) is None
    assert looked_at == []


def test_an_empty_search_has_no_window():
    assert in_window({}, lambda rung: True) is None
