"""Working backwards: what to order for a target, and the value of one input that reaches something."""

from typing import Any

from service.advice.build_comparison import compare_builds
from service.advice.requirements import RequirementsRequest, requirements
from service.advice.solutions import SolutionsRequest, solutions
from service.errors import SpecError
from service.web.api.named_parts import BuildWithParts, NamedParts, name_parts, take_parts, with_parts
from service.web.api.requests.compared_builds_field import NamedBuild
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Post, Tag

CALLS = Calls(Tag("backwards", "From a target to what it takes: what to order, and which value reaches it."))


@CALLS.post(
    Post(
        path="/v1/requirements",
        request="RequirementsRequest",
        answer="Requirements",
        gives="The shopping list, in the order in which people order.",
        when='Call it when a customer asks what size he needs or what else he must buy: "what injectors for '
        '600 hp", "what do I need for this". Everything else is held as given or assumed, and each size says '
        "what it depends on. A part maker's own limits come first.",
    )
)
def create_requirements(state: State, fields: dict[str, Any]) -> Answer:
    """Size the parts for a target: for each the value that passes, the next size sold, and what the catalog
    has.
    """
    parts = take_parts(state, fields)
    answer = requirements(
        state.evaluator, RequirementsRequest(**fields, delivered=parts.delivered), state.catalog
    )
    return name_parts(state, answer, parts)


@CALLS.post(
    Post(
        path="/v1/build-comparisons",
        request="BuildComparisonRequest",
        answer="BuildComparison",
        gives="The builds side by side.",
        when='Call it when a customer asks "what if": these injectors or those, a screw or a turbo, before '
        "and after a kit. It compares plans; pulls on a dyno are compared by POST /v1/dyno-comparisons.",
    )
)
def create_build_comparison(state: State, fields: dict[str, Any]) -> Answer:
    """Compare two to four builds: what each comes to, which verdicts change, where the weak link moves."""
    named: list[NamedBuild] = fields["builds"]
    read = [_read(state, build, position) for position, (_, build) in enumerate(named)]
    misfits = [misfit for one in read for misfit in one.parts.misfits]
    answer = compare_builds(state.evaluator, [one.build for one in read], fields.get("units", "metric"))
    answer["names"] = [name for name, _ in named]
    return name_parts(state, answer, NamedParts([], misfits))


@CALLS.post(
    Post(
        path="/v1/solutions",
        request="SolutionsRequest",
        answer="Solutions",
        gives="Every value that reaches it, or the nearest there is.",
        when='Call it when a customer asks what gives a figure: "which pulley makes 10 psi", "what boost for '
        '500 hp". It finds one input; the rest is held as given or assumed.',
    )
)
def create_solutions(state: State, fields: dict[str, Any]) -> Answer:
    """Find the value of one input at which a quantity reaches what is wanted, and judge the build with it."""
    parts = take_parts(state, fields)
    return name_parts(state, solutions(state.evaluator, SolutionsRequest(**fields)), parts)


def _read(state: State, build: dict[str, Any], position: int) -> BuildWithParts:
    """A build with its parts; its faults are placed where the request has it."""
    try:
        found = with_parts(state, build)
        state.evaluator.reader.read(found.build)
    except SpecError as error:
        root = f"/builds/{position}"
        raise SpecError(
            [fault._replace(pointer=f"{root}{fault.pointer}") for fault in error.faults]
        ) from error
    return found
