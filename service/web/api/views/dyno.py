"""After the build: pulls corrected, compared, and held against what was planned."""

from typing import Any

from service.dyno.calibrated import calibrated
from service.dyno.compared import TwoSets, compared, compared_curves, compared_summaries
from service.dyno.corrected import corrected
from service.errors import SpecError, SpecFault
from service.web.api.body import MAX_BATCH
from service.web.api.named_parts import name_parts, take_parts
from service.web.api.requests.dyno_sides import CurveSides, Sides, SummarySides, read_sides
from service.web.api.requests.pulls import read_measured, read_pulls
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Post, Tag

CALLS = Calls(Tag("dyno", "Pulls corrected, compared, and held against what was planned."))


@CALLS.post(
    Post(
        path="/v1/dyno-corrections",
        request="CorrectionsRequest",
        answer="Corrections",
        gives="One entry a pull.",
        when="Call it to bring a dyno figure to a standard's weather. It says where a correction is not to "
        "be believed; it does not make two places comparable.",
    )
)
def create_dyno_correction(state: State, fields: dict[str, Any]) -> Answer:
    """Pulls brought to the weather of each standard; the figures as measured come first."""
    return corrected(
        state.evaluator,
        read_pulls(fields),
        fields.get("boost_controlled", False),
        fields.get("units", "metric"),
    )


@CALLS.post(
    Post(
        path="/v1/dyno-comparisons",
        request="ComparisonRequest",
        answer="Comparison",
        gives="The verdict, the interval, and what such a test can see.",
        when="Call it when somebody says that a part gained something: send the single pulls of both sides, "
        "as peaks or curves; means alone are told what they cannot know. It says whether a difference is "
        "real, not what caused it.",
        most=MAX_BATCH,
    )
)
def create_dyno_comparison(state: State, fields: dict[str, Any]) -> Answer:
    """Pulls with one part against pulls with another: is the difference real, and could such a test have
    seen it.
    """
    sides = read_sides(fields)
    try:
        return _comparison(state, fields, sides)
    except ValueError as error:
        reason = str(error)
        raise SpecError(
            [
                SpecFault(
                    "/b",
                    "not-comparable",
                    f"{reason[:1].upper()}{reason[1:]}.",
                    "pulls of both sides that can be set against each other",
                )
            ]
        ) from error


def _comparison(state: State, fields: dict[str, Any], sides: Sides) -> Answer:
    quantity, units = fields["quantity"], fields.get("units", "metric")
    if isinstance(sides, SummarySides):
        return compared_summaries(state.evaluator, quantity, sides.first, sides.second, units)
    if isinstance(sides, CurveSides):
        return compared_curves(state.evaluator, quantity, sides.first, sides.second, units)
    interleaved, in_order = fields.get("interleaved", False), fields.get("in_order", False)
    sets = TwoSets(quantity, sides.first, sides.second, interleaved, in_order, sides.claimed)
    return compared(state.evaluator, sets, units)


@CALLS.post(
    Post(
        path="/v1/calibrations",
        request="CalibrationRequest",
        answer="Calibration",
        gives="What the pulls imply.",
        when="Call it after the dyno with the build as it was planned and its pulls. It tells which "
        "assumption the pulls contradict and gives a narrower build to post back.",
    )
)
def create_calibration(state: State, fields: dict[str, Any]) -> Answer:
    """A build held against its own pulls: power at the crank, the filling and fuel they imply, what would
    explain a difference.
    """
    parts = take_parts(state, fields)
    build, units = fields["build"], fields.get("units", "metric")
    measured = read_measured(fields["pulls"])
    answer = calibrated(state.evaluator, build, measured.pulls, measured.place, units)
    return name_parts(state, answer, parts)
