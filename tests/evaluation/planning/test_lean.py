"""Rows of assumptions are remembered for each combination of choices, and by their own rulebook only."""

from dataclasses import replace

import pytest

from service.evaluation.known import Known
from service.evaluation.planning.resolve import Resolution
from tests.support.rules import real_rulebook


@pytest.fixture
def by_choice():
    """An assumption of the rules in force with a figure of its own for each of two words of a choice."""
    rulebook = real_rulebook()
    for assumption in rulebook.assumptions.values():
        if len(assumption.by) == 1:
            rows = {row.pattern[0]: row for row in assumption.rows if row.pattern[0] not in ("*", "unknown")}
            if len({row.typical for row in rows.values()}) > 1:
                return assumption, rows
    raise AssertionError("no assumption goes by one choice")


def figures_of(assumption, resolution):
    return tuple(resolution.preset[f"{end}__{assumption.name}"] for end in ("assumed", "lowest", "highest"))


def test_each_choice_keeps_its_row_whatever_was_asked_before(by_choice):
    assumption, rows = by_choice
    for _ in range(2):
        for word, row in rows.items():
            resolution = Resolution(real_rulebook(), Known(choices={assumption.by[0]: word}))
            assert figures_of(assumption, resolution) == (row.typical, row.low, row.high)
            assert resolution.leans[assumption.name].row is row


def test_a_rulebook_made_of_another_looks_up_its_own_rows(by_choice):
    assumption, rows = by_choice
    word, row = next(iter(rows.items()))
    known = Known(choices={assumption.by[0]: word})
    Resolution(real_rulebook(), known)
    doubled = replace(
        assumption, rows=tuple(replace(each, typical=2 * each.typical) for each in assumption.rows)
    )
    assumptions = real_rulebook().assumptions | {assumption.name: doubled}
    other = Resolution(replace(real_rulebook(), assumptions=assumptions), known)
    assert other.preset[f"assumed__{assumption.name}"] == 2 * row.typical
