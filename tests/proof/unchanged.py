"""What must change nothing: the same build in another order, in other units, shown in others, told at another
length, in a batch of one, in a sweep of one, and each check by itself.
"""

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from math import isclose

import orjson

from service.evaluation.judging.judge import SEVERITY
from service.units.units import DIMENSIONS, Unit
from tests.support.expected import answer, app_with
from tests.support.random_builds import random_builds
from tests.support.rules import real_rulebook

BUILDS = 300
CHECKS_ALONE = 8
SHARE_BLURRED = 0.1
# A number in another unit differs in its last digits; so near a limit a verdict may turn with them.
WITHIN, AT_LIMIT = 1e-9, 1e-6
FIGURES = {"verdict", "could_be", "value", "range", "margin", "judged_at"}
# Judged over the whole; a sweep tells it with the whole alone.
CONSISTENCY = "spec-consistency"
EVALUATIONS, BATCHES, SWEEPS = "/v1/evaluations", "/v1/evaluation-batches", "/v1/sweeps"


@dataclass
class Compared:
    """How often each change was tried, and where it changed something."""

    tried: Counter = field(default_factory=Counter)
    differing: list[tuple[str, dict]] = field(default_factory=list)


class Unchanged:
    """Asks one app; the answer to a build in full is what all others are held against."""

    def __init__(self, seed: int = 1):
        self.app, self.source = app_with(), random.Random(seed)
        self.inputs = real_rulebook().inputs
        self.changes: dict[str, Callable[[dict, dict], bool]] = {
            "order of keys": self.same_in_another_order,
            "units given": self.same_in_other_units,
            "units shown": self.same_shown_in_others,
            "detail": self.same_told_at_another_length,
            "batch of one": self.same_in_a_batch,
            "sweep of one": self.same_in_a_sweep,
            "check alone": self.same_alone,
        }

    def compare(self, builds: int) -> Compared:
        """Every change of so many builds."""
        compared = Compared()
        for build in random_builds(builds, seed=11):
            self._blur(build)
            whole = self.ask(EVALUATIONS, build=build, detail="full")
            for title, same in self.changes.items():
                compared.tried[title] += 1
                if not same(build, whole):
                    compared.differing.append((title, build))
        return compared

    def ask(self, path: str, **body) -> dict:
        """The answer, which has to be one."""
        status, data = answer(self.app, orjson.dumps(body), path)
        assert status == 200, (path, data[:500])
        return orjson.loads(data)

    def same_in_another_order(self, build: dict, whole: dict) -> bool:
        """Byte by byte, but for the order in which it repeats what it was told."""
        turned = self.ask(EVALUATIONS, build=_turned(build), detail="full")
        for reply in (whole, turned):
            reply.get("understood", []).sort(key=lambda told: told["input"])
        return orjson.dumps(turned) == orjson.dumps(whole)

    def same_in_other_units(self, build: dict, whole: dict) -> bool:
        other = self.ask(EVALUATIONS, build=self._in_other_units(build), detail="full")
        entries = {entry["check"]: entry for entry in other["checks"]}
        if entries.keys() != {entry["check"] for entry in whole["checks"]}:
            return False
        near = [entry for entry in whole["checks"] if abs(entry.get("margin", 1.0)) < AT_LIMIT]
        return all(
            _same_number(entry, entries[entry["check"]])
            and all(entry.get(name) == entries[entry["check"]].get(name) for name in ("verdict", "could_be"))
            for entry in whole["checks"]
            if entry not in near
        )

    def same_shown_in_others(self, build: dict, whole: dict) -> bool:
        return _judged(whole) == _judged(self.ask(EVALUATIONS, build=build, detail="full", units="us"))

    def same_told_at_another_length(self, build: dict, whole: dict) -> bool:
        """A shorter answer leaves out figures and shortens words; a figure that it gives is that of the
        long one.
        """
        spoken, summary = (
            self.ask(EVALUATIONS, build=build, detail=detail) for detail in ("spoken", "summary")
        )
        told = {entry["check"]: entry for entry in whole["checks"]}
        return (
            spoken["verdict"] == summary["verdict"] == whole["verdict"]
            and [entry["check"] for entry in summary["checks"]] == list(told)
            and all(
                entry[name] == told[entry["check"]][name]
                for entry in summary["checks"]
                for name in entry.keys() & FIGURES
            )
        )

    def same_in_a_batch(self, build: dict, whole: dict) -> bool:
        (together,) = self.ask(BATCHES, builds=[build])["builds"]
        names = ("verdict", "value", "margin", "judged_at")
        alone = {entry["check"]: [entry.get(name) for name in names] for entry in whole["checks"]}
        return together["verdict"] == whole["verdict"] and alone == {
            entry["check"]: [entry.get(name) for name in names] for entry in together["checks"]
        }

    def same_in_a_sweep(self, build: dict, whole: dict) -> bool:
        path, value = self.source.choice(list(self._numbers(build)))
        number = {name: part for name, part in value.items() if name != "tolerance"}
        swept = self.ask(SWEEPS, build=build, columns={path: [number]})
        alone = {entry["check"]: [entry["verdict"]] for entry in whole["checks"]}
        del alone[CONSISTENCY]
        judged = {entry["check"]: entry["verdict"] for entry in swept["checks"]}
        return swept["verdict"] == [whole["verdict"]] and alone == {
            check: verdict for check, verdict in judged.items() if verdict[0] in SEVERITY
        }

    def same_alone(self, build: dict, whole: dict) -> bool:
        """But for its cautions: one is said once a reply, by the first check that calls for it."""
        judged = whole["checks"]
        return all(
            list(map(_without_cautions, self._alone(build, entry["check"]))) == [_without_cautions(entry)]
            for entry in self.source.sample(judged, min(CHECKS_ALONE, len(judged)))
        )

    def _alone(self, build: dict, check: str) -> list[dict]:
        return self.ask(EVALUATIONS, build=build, detail="full", checks=[check])["checks"]

    def _numbers(self, build: dict):
        """Paths and numbers that are given with a unit."""
        for group, fields in build.items():
            for name, value in fields.items() if isinstance(fields, dict) else ():
                if isinstance(value, dict):
                    yield f"{group}.{name}", value

    def _blur(self, build: dict) -> None:
        """A tolerance of some percent for some of the numbers."""
        for path, number in self._numbers(build):
            dimension, given = self._given(path)
            low, high = self.inputs[path].form.possible[dimension]
            width = abs(number["value"]) * self.source.uniform(0.005, 0.05)
            ends = [(number["value"] + side * width) * given.factor + given.offset for side in (-1, 1)]
            if self.source.random() < SHARE_BLURRED and low < ends[0] <= ends[1] < high:
                number["tolerance"] = width

    def _given(self, path: str) -> tuple[str, Unit]:
        """The dimension of an input and the unit that random builds give it in."""
        dimension = next(iter(self.inputs[path].words))
        return dimension, next(iter(DIMENSIONS[dimension].units.values()))

    def _in_other_units(self, build: dict) -> dict:
        other = orjson.loads(orjson.dumps(build))
        for path, number in self._numbers(other):
            dimension, given = self._given(path)
            units = DIMENSIONS[dimension].units.values()
            wanted = self.source.choice([unit for unit in units if unit.text])
            value = number["value"] * given.factor + given.offset
            number |= {"value": (value - wanted.offset) / wanted.factor, "unit": wanted.text}
            if "tolerance" in number:
                number["tolerance"] *= given.factor / wanted.factor
        return other


def _turned(value: object) -> object:
    """The same with the keys of every object from last to first."""
    if not isinstance(value, dict):
        return value
    return {key: _turned(inner) for key, inner in reversed(value.items())}


def _without_cautions(entry: dict) -> dict:
    return {name: value for name, value in entry.items() if name != "cautions"}


def _judged(reply: dict) -> dict[str, tuple]:
    """By check what was judged, without the numbers in units."""
    names = ("verdict", "could_be", "margin", "judged_at")
    return {entry["check"]: tuple(entry.get(name) for name in names) for entry in reply["checks"]}


def _same_number(entry: dict, other: dict) -> bool:
    if "value" not in entry:
        return "value" not in other
    numbers = entry["value"]["value"], other["value"]["value"]
    return isclose(*numbers, rel_tol=WITHIN, abs_tol=WITHIN)


def prove(builds: int = BUILDS) -> bool:
    """Prints for each change in how many builds it was tried, and in how many it changed something."""
    compared = Unchanged().compare(builds)
    differing = Counter(title for title, _ in compared.differing)
    for title, tried in compared.tried.items():
        print(f"{title}: {tried:,} builds, {differing[title]} changed")
    for title, build in compared.differing[:5]:
        print(f"  {title}: {str(build)[:300]}")
    return not differing
