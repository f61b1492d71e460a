"""Part numbers in a request: looked up in the catalog before the build is read, and named in the answer."""

from dataclasses import dataclass, field

from service.catalog.expand import expanded, fit_findings, parts_of
from service.catalog.part import Part
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec import MAX_FAULTS
from service.web.api.state import State


@dataclass(frozen=True, slots=True)
class Taken:
    """The parts a build named, and what does not go together among them."""

    parts: list[Part] = field(default_factory=list)
    misfits: list[dict] = field(default_factory=list)


NONE_TAKEN = Taken()


def with_parts(here: State, build: dict, most: int = MAX_FAULTS, suggest: bool = True) -> tuple[dict, Taken]:
    """The build with its parts' fields filled in; SpecError with the faults of the parts and of the rest together, up to so many."""
    if "parts" not in build:
        return build, NONE_TAKEN
    rest = {key: value for key, value in build.items() if key != "parts"}
    if here.catalog is None:
        faults = [
            SpecFault(
                "/build/parts",
                "no-catalog",
                "No catalog of parts is loaded, so part numbers mean nothing here.",
                "the parts' own figures in the build",
            )
        ]
    else:
        try:
            parts = parts_of(build, here.catalog, suggest)
            return expanded(build, parts), Taken(parts, fit_findings(parts, build))
        except SpecError as error:
            faults = error.faults
    try:
        here.evaluator.reader.read(rest, most=most)
    except SpecError as error:
        faults = [*faults, *error.faults]
    raise SpecError(faults[:most])


def name_parts(here: State, answer: dict, taken: Taken = NONE_TAKEN) -> dict:
    """The answer with the catalog, the parts taken, and what does not go together: parts that do not fit are a fail."""
    if here.catalog is None:
        return answer
    if taken.parts:
        answer["parts"] = [
            {"slot": part.slot, "number": part.number, "title": part.title} for part in taken.parts
        ]
    if taken.misfits:
        answer["misfits"] = taken.misfits
        if "headline" in answer:
            answer["verdict"] = "fail"
            answer["headline"] = (
                f"These parts do not go together: {taken.misfits[0]['text']} {answer['headline']}"
            )
    answer["catalog"] = here.catalog.identity
    return answer
