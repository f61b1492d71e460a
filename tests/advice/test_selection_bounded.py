"""What one selection may spend: counted over all of its searches, and said where it was not enough."""

from dataclasses import replace

import numpy
import pytest

from service.advice import box_finder, selection, set_search
from service.advice.block_verdicts import MARGIN_STEPS
from service.advice.selection_request import SelectionRequest
from service.advice.work_left import MOST_HELD, MOST_TRIED, WorkLeft
from service.catalog.folder import read_folder
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judged_run import judge_run
from tests.benchmarks.selections import OBJECTIVES, SELECTION, WHOLE
from tests.support.grown_catalog import grown
from tests.support.places import CATALOG

# The first sets that will do are found with this, the widest margin is not.
LITTLE = WorkLeft(sets=12)


@pytest.fixture(scope="module")
def fixed(real_rules):
    return read_folder(CATALOG, real_rules.reader)


@pytest.fixture
def searched(monkeypatch):
    """The searches of the selections of a test."""
    searches = []

    class Kept(selection.SetSearch):
        def __init__(self, *arguments):
            super().__init__(*arguments)
            searches.append(self)

    monkeypatch.setattr(selection, "SetSearch", Kept)
    return searches


def every_slot(catalog, objective="widest_margin"):
    return SelectionRequest(SELECTION, tuple(catalog.slots), objective)


def without_whole(catalog, objective="widest_margin"):
    return SelectionRequest(SELECTION, tuple(slot for slot in catalog.slots if slot not in WHOLE), objective)


def with_work(monkeypatch, work):
    monkeypatch.setattr(set_search, "WorkLeft", lambda: replace(work))


@pytest.mark.parametrize("objective", OBJECTIVES)
def test_the_fixed_catalog_is_proved_and_more_work_changes_nothing(
    monkeypatch, real_rules, fixed, searched, objective
):
    request = without_whole(fixed, objective)
    answer = selection.select(real_rules, fixed, request)
    assert answer["proved"] and len(answer["sets"]) == selection.MOST_SETS
    assert "looked at" not in answer["headline"]
    # With several times to spare.
    work = searched[-1].work
    assert work.sets > MOST_TRIED / 2 and work.held > MOST_HELD / 2
    with_work(monkeypatch, WorkLeft(sets=10**6, ways=10**9, held=10**9, solving=1e3))
    assert selection.select(real_rules, fixed, request) == answer


@pytest.mark.parametrize("catalog_times", [1, 3])
@pytest.mark.parametrize("objective", OBJECTIVES)
def test_all_searches_of_one_selection_share_one_bound(
    monkeypatch, real_rules, fixed, searched, catalog_times, objective
):
    """The nearest miss, the last search, is looked for once whatever is left."""
    with_work(monkeypatch, LITTLE)
    catalog = grown(fixed, catalog_times)
    answer = selection.select(real_rules, catalog, every_slot(catalog, objective))
    assert not answer["proved"]
    assert -1 <= searched[-1].work.sets <= 0


def test_the_widest_margin_so_far_is_offered_where_the_work_ends(monkeypatch, real_rules, fixed):
    request = without_whole(fixed)
    whole = selection.select(real_rules, fixed, request)
    with_work(monkeypatch, LITTLE)
    answer = selection.select(real_rules, fixed, request)
    assert not answer["proved"] and len(answer["sets"]) == 1
    (offered,) = answer["sets"]
    assert SEVERITY[offered["verdict"]] <= SEVERITY["warn"]
    assert offered["least_margin"]["margin"] <= whole["sets"][0]["least_margin"]["margin"]
    assert answer["headline"].startswith("The set with the most in hand, of those looked at, costs")


@pytest.mark.parametrize("count", ["sets", "ways", "held", "solving"])
def test_each_count_ends_the_search(monkeypatch, real_rules, fixed, count):
    with_work(monkeypatch, replace(WorkLeft(), **{count: 1e-9 if count == "solving" else 1}))
    answer = selection.select(real_rules, fixed, without_whole(fixed))
    assert not answer["proved"]


def test_where_none_came_up_the_answer_does_not_say_that_there_is_none(monkeypatch, real_rules, fixed):
    """The fixed catalog has sets that will do for these slots; looked at is only the first."""
    with_work(monkeypatch, WorkLeft(sets=1))
    answer = selection.select(real_rules, fixed, without_whole(fixed))
    assert answer["sets"] == [] and not answer["proved"]
    assert answer["headline"].startswith("Of the sets looked at none will do")
    assert "nearest" in answer["conflict"]


@pytest.mark.slow
def test_ten_times_the_catalog_with_every_slot_open_ends_with_a_set(real_rules, fixed, searched):
    catalog = grown(fixed, 10)
    answer = selection.select(real_rules, catalog, every_slot(catalog))
    work = searched[-1].work
    assert answer["sets"] and work.spent and not answer["proved"]
    # The last proposal may go beyond the bound, no further one.
    assert min(work.sets, 0) > -2 and work.ways > -WorkLeft().ways


@pytest.mark.parametrize(("catalog_times", "tries", "sets_in_each"), [(3, 100, 2)])
def test_a_box_holds_only_sets_that_are_refused(
    monkeypatch, real_rules, fixed, searched, catalog_times, tries, sets_in_each
):
    """Sets drawn from each box are judged by themselves; boxes of warnings have margins below zero."""
    catalog, source = grown(fixed, catalog_times), numpy.random.default_rng(1)
    with_work(monkeypatch, WorkLeft(sets=tries))
    monkeypatch.setattr(box_finder, "FEW_COMBINATIONS", 0)
    selection.select(real_rules, catalog, without_whole(catalog))
    (search,) = searched
    below_zero = 0
    for box in search.refused:
        for _ in range(sets_in_each):
            chosen = {
                slot: int(
                    source.choice(numpy.flatnonzero(box.sides[slot]) if slot in box.sides else len(parts))
                )
                for slot, parts in search.open_slots.items()
            }
            run = real_rules.run(search.with_parts(chosen), (box.check,))
            (judged,) = judge_run(run).judged
            assert SEVERITY[judged.judgement.verdict] > search.allowed or (
                box.least is not None and (judged.judgement.margin or 0.0) * MARGIN_STEPS < box.least
            ), box.check
            below_zero += box.least is not None and box.least < 0
    assert below_zero > 50
