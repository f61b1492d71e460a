"""Part numbers in a request: looked up in the catalog before the build is read, and named in the answer."""

from service.catalog.expand import expanded, fit_findings, parts_of
from service.catalog.part import Part
from service.errors import SpecError, SpecFault
from service.web.state import State


def with_parts(here: State, build: dict) -> tuple[dict, list[Part]]:
    """The build with its parts' fields filled in; SpecError with the faults of the parts and of the rest together."""
    if "parts" not in build:
        return build, []
    rest = {key: value for key, value in build.items() if key != "parts"}
    if here.catalog is None:
        faults = [SpecFault("/build/parts", "no-catalog", "No catalog of parts is loaded, so part numbers mean nothing here.", "the parts' own figures in the build")]
    else:
        try:
            parts = parts_of(build, here.catalog)
            return expanded(build, parts), parts
        except SpecError as error:
            faults = error.faults
    try:
        here.evaluator.reader.read(rest)
    except SpecError as error:
        faults = [*faults, *error.faults]
    raise SpecError(faults)


def name_parts(here: State, answer: dict, parts: list[Part]) -> dict:
    """The answer with the catalog, the parts taken, and what does not go together: parts that do not fit are a fail."""
    if here.catalog is None:
        return answer
    if parts:
        answer["parts"] = [{"slot": part.slot, "number": part.number, "title": part.title} for part in parts]
        found = fit_findings(parts)
        if found:
            answer["misfits"] = found
            if "verdict" in answer:
                answer["verdict"] = "fail"
                answer["headline"] = f"These parts do not go together: {found[0]['text']} {answer['headline']}"
    answer["catalog"] = here.catalog.identity
    return answer
