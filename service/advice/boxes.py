"""Parts that may not stand together: for some slots a side each, of which not one part each may be chosen."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy

from service.advice.slot_columns import SlotColumns
from service.catalog.catalog import go_together
from service.catalog.part import Part
from service.evaluation.judging.judge_columns import BoolColumn, IntColumn

# Positions of the candidates chosen, by slot.
Chosen = dict[str, int]


@dataclass(frozen=True, slots=True, eq=False)
class Box:
    """No set may have a part from every side.

    `check`: the one that every such set breaks; empty for parts that do not meet and for sets ruled out.
    `least`: it only counts where a margin of so many steps or more is asked for; None where it always does.
    """

    sides: Mapping[str, BoolColumn]
    check: str = ""
    least: int | None = None

    def counts(self, least: int | None) -> bool:
        """Whether it counts where this margin is asked for."""
        return self.least is None or (least is not None and least >= self.least)


def side(length: int, positions: int | IntColumn) -> BoolColumn:
    """A side with these candidates of so many."""
    chosen = numpy.zeros(length, bool)
    chosen[positions] = True
    return chosen


def box_of(slots: Mapping[str, SlotColumns], chosen: Chosen, check: str = "") -> Box:
    """One combination of parts and nothing else."""
    return Box({slot: side(len(slots[slot].candidates), place) for slot, place in chosen.items()}, check)


def misfit_boxes(slots: Mapping[str, SlotColumns], stated: frozenset[str]) -> Iterator[Box]:
    """Parts that do not go together. Each pair of kinds is looked at once, whatever number of parts is of
    them.
    """
    given = {slot: _fields_given(columns) for slot, columns in slots.items()}
    apart = {slot: _meeting(columns, []) for slot, columns in slots.items()}
    for slot, other_slot in combinations(slots, 2):
        shared = sorted({(group, name) for _, group, name in given[slot] & given[other_slot]})
        kinds, other_kinds = (
            _meeting(slots[name], shared) if shared else apart[name] for name in (slot, other_slot)
        )
        for part, positions in kinds.values():
            clashing = [
                others for other, others in other_kinds.values() if not go_together([part, other], stated)
            ]
            if clashing:
                yield Box(
                    {
                        slot: side(len(slots[slot].candidates), numpy.array(positions)),
                        other_slot: side(len(slots[other_slot].candidates), numpy.concatenate(clashing)),
                    }
                )


def _fields_given(columns: SlotColumns) -> set[tuple[int, str, str]]:
    """What any part of a slot says of a build, whether the build takes it or not; only parts of one rank can
    contradict each other.
    """
    return {
        (candidate.part.rank, group, name)
        for candidate in columns.candidates
        for group, fields in candidate.part.gives.items()
        for name in fields
    }


def _meeting(columns: SlotColumns, shared: list[tuple[str, str]]) -> dict[object, tuple[Part, list[int]]]:
    """The parts by all that decides what they go with: a part that stands for them, and their positions."""
    kinds: dict[object, tuple[Part, list[int]]] = {}
    for position, candidate in enumerate(columns.candidates):
        part = candidate.part
        says = [repr(part.gives.get(group, {}).get(name)) for group, name in shared]
        key = (tuple(part.fits.items()), tuple(part.has.items()), part.rank, tuple(says))
        kinds.setdefault(key, (part, []))[1].append(position)
    return kinds
