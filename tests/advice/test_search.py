"""Searches on a ladder against looking at every rung."""

from hypothesis import given
from hypothesis import strategies as st

from service.advice.search import farthest, nearest

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
