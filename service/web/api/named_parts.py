"""Part numbers in a request: looked up in the catalog before the build is read, and named in the answer."""

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from service.catalog.expand import as_delivered, expanded, fit_findings, parts_of
from service.catalog.part import Part
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec_in_hand import MAX_FAULTS
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.headline import MOST_WORDS
from service.web.api.state import State


@dataclass(frozen=True, slots=True)
class NamedParts:
    """The parts a build named, and what does not go together among them."""

    parts: list[Part] = field(default_factory=list)
    misfits: list[dict[str, Any]] = field(default_factory=list)
    delivered: tuple[str, ...] = ()
    """The inputs that are still what the car came with, by path."""


NO_PARTS = NamedParts()


class BuildWithParts(NamedTuple):
    """A build with the fields of its parts, and those parts."""

    build: dict[str, Any]
    parts: NamedParts


def take_parts(state: State, fields: dict[str, Any]) -> NamedParts:
    """The parts that the build of a request names; their fields are filled into the build."""
    fields["build"], parts = with_parts(state, fields["build"])
    return parts


def with_parts(
    state: State, build: dict[str, Any], most: int = MAX_FAULTS, suggest: bool = True
) -> BuildWithParts:
    """The build with its parts' fields; SpecError with the faults of parts and rest, `most` at most."""
    if "parts" not in build:
        return BuildWithParts(build, NO_PARTS)
    try:
        return _looked_up(state, build, suggest)
    except SpecError as error:
        faults = error.faults
    try:
        state.evaluator.reader.read({key: build[key] for key in build if key != "parts"}, most=most)
    except SpecError as error:
        faults = [*faults, *error.faults]
    raise SpecError(faults[:most])


def _looked_up(state: State, build: dict[str, Any], suggest: bool) -> BuildWithParts:
    if state.catalog is None:
        raise SpecError(
            [
                SpecFault(
                    "/build/parts",
                    "no-catalog",
                    "No catalog of parts is loaded, so part numbers can't be looked up.",
                    "the parts' own figures in the build",
                )
            ]
        )
    parts = parts_of(build, state.catalog, state.rulebook.slots, suggest)
    found = NamedParts(parts, fit_findings(parts, build), tuple(as_delivered(build, parts)))
    return BuildWithParts(expanded(build, parts), found)


def name_parts(state: State, answer: dict[str, Any], named: NamedParts = NO_PARTS) -> dict[str, Any]:
    """The answer with the catalog, the parts and what clashes among them; parts that do not fit fail."""
    if state.catalog is None:
        return answer
    if named.misfits:
        answer["misfits"] = named.misfits
        if "headline" in answer:
            answer["headline"] = within([named.misfits[0]["text"], answer["headline"]], MOST_WORDS)
            if "verdict" in answer:
                # A sweep has one for each candidate.
                many = isinstance(answer["verdict"], list)
                answer["verdict"] = ["fail"] * len(answer["verdict"]) if many else "fail"
    if "rulebook" not in answer:
        # What is read out names nothing else.
        answer.pop("misfits", None)
        return answer
    if named.parts:
        answer["parts"] = [
            {"slot": part.slot, "number": part.number, "title": part.title} for part in named.parts
        ]
    if named.delivered:
        answer["as_delivered"] = list(named.delivered)
    answer["catalog"] = state.catalog.identity
    return answer
