"""What to choose, how far to go, and the build over its speed range."""

from typing import Any

from service.advice.limits import LimitsRequest, limits
from service.advice.selection import select
from service.advice.selection_request import SelectionRequest
from service.evaluation.speed_curves import SpeedRange, speed_curves
from service.web.api.named_parts import name_parts, take_parts
from service.web.api.problems import ProblemError
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Post, Tag

_ADVICE = Tag("advice", "What to choose, how far to go, and the build over its speed range.")
CHOICES = Calls(_ADVICE)
CURVES = Calls(_ADVICE)


@CHOICES.post(
    Post(
        path="/v1/selections",
        request="SelectionRequest",
        answer="Selection",
        gives="The best sets and the parts of each slot by themselves, each with a sentence.",
        when="Call it when the customer asks which of the parts in the catalog would do. Needs a service "
        "with a catalog. Parts are judged by the figures in the catalog; whether a part is the right one "
        "for a car is for the counter to say.",
        is_long=True,
    )
)
def create_selection(state: State, fields: dict[str, Any]) -> Answer:
    """Choose catalog parts for open slots: each part judged, the best complete sets, or what stands in the
    way.
    """
    if state.catalog is None:
        raise ProblemError(
            422,
            "no-catalog",
            "No catalog of parts is loaded, so there is nothing to choose from.",
            "Start the service with CATALOG.",
        )
    return select(state.evaluator, state.catalog, SelectionRequest(**fields))


@CHOICES.post(
    Post(
        path="/v1/limits",
        request="LimitsRequest",
        answer="Limits",
        gives="One entry an input.",
        when='Call it when a customer asks how much: "how much boost may I run", "what is the most I can '
        'make on these injectors". Name the inputs to move; without names it moves what the build gives. '
        "Everything else is held as given or assumed, so a limit is only as good as the rest of the spec. "
        "It does not look for the best build, and a limit is no promise that an engine lives there.",
    )
)
def create_limits(state: State, fields: dict[str, Any]) -> Answer:
    """How far inputs can move, the others held, before the verdict changes: the most boost, the least
    injector.
    """
    parts = take_parts(state, fields)
    return name_parts(state, limits(state.evaluator, LimitsRequest(**fields)), parts)


@CURVES.post(
    Post(
        path="/v1/speed-curves",
        request="SpeedCurvesRequest",
        answer="SpeedCurves",
        gives="Columns of equal length; power and torque with the range that the assumptions leave.",
        when="Call it to draw a build over engine speed. It judges nothing; a null is a value that cannot be "
        "worked out there.",
    )
)
def create_speed_curves(state: State, fields: dict[str, Any]) -> Answer:
    """The build across its speed range, as columns: boost, air, knock, power and torque the air allows,
    injectors, pump.
    """
    parts = take_parts(state, fields)
    speeds = fields.get("speeds", SpeedRange())
    answer = speed_curves(state.evaluator, fields["build"], speeds, fields.get("units", "metric"))
    return name_parts(state, answer, parts)
