"""Every request and its fields: read by marshmallow, told by the contract."""

from service.advice.choice import OBJECTIVES
from service.advice.limits import MOST_INPUTS
from service.advice.sweeps import MOST_CANDIDATES
from service.rulebook.rulebook import Rulebook
from service.web.api.requests.backwards_requests import backwards_requests
from service.web.api.requests.columns_field import Columns
from service.web.api.requests.common_fields import ALLOWED, Fields, pins, units
from service.web.api.requests.dyno_fields import Claimed, MeasuredPower, PullsInWeather, Side, Weather
from service.web.api.requests.plain_fields import (
    Build,
    Builds,
    Checks,
    Money,
    Parts,
    Switch,
    Word,
    Words,
)
from service.web.api.requests.speeds_field import Speeds

DETAILS = ("spoken", "summary", "full")
COMPARED = ("power", "torque")
INCLUDES = ("ranges", "questions", "needs", "remedies")
INCLUDED = ("ranges", "questions")
PINS = ("rulebook", "catalog")


def requests(rulebook: Rulebook) -> dict[str, Fields]:
    """The fields of each request by the name of its schema."""
    return (
        {"EvaluationRequest": _evaluation(rulebook)}
        | _advice_requests(rulebook)
        | backwards_requests(rulebook)
        | _dyno_requests(rulebook)
    )


def _evaluation(rulebook: Rulebook) -> Fields:
    checks = tuple(rulebook.checks)
    return {
        "build": Build(required=True),
        "checks": Checks(checks, about="Judge these only."),
        "units": units("Units of the answer; the build may use any. A bare octane number is AKI in us."),
        **pins(),
        "detail": Word(
            DETAILS,
            default="summary",
            about="spoken: to be read out, under 600 bytes; summary: passes are short; full: all that was "
            "assumed, asked and left open, with the working of every check.",
        ),
        "include": Parts(
            INCLUDES,
            INCLUDED,
            about="ranges: what the assumptions leave open; questions: what to ask next; "
            "needs: what each open check lacks; "
            "remedies: a plan for the whole build, and what would fix each warning and failure alone.",
        ),
        "require": Checks(checks, about="Without these judged the whole is not_checked."),
        "moment": Word(
            tuple(rulebook.moments),
            about="Where the job stands: picks cautions and the watch list, never a verdict.",
        ),
    }


def _advice_requests(rulebook: Rulebook) -> dict[str, Fields]:
    return {
        "LimitsRequest": {
            "build": Build(required=True),
            "checks": Checks(tuple(rulebook.checks), about="Look at these only."),
            "units": units(),
            **pins(),
            "inputs": _movable_inputs(rulebook),
        },
        "BatchRequest": {
            "checks": Checks(tuple(rulebook.checks)),
            "units": units(),
            **pins(),
            "builds": Builds(required=True),
        },
        "SweepRequest": {
            "build": Build(required=True),
            "checks": Checks(tuple(rulebook.checks)),
            "units": units(),
            **pins(),
            "columns": Columns(
                rulebook,
                required=True,
                about="Inputs that are numbers, each with a column of candidates; "
                f"up to {MOST_CANDIDATES} of one length.",
            ),
        },
        "SelectionRequest": _selection(rulebook),
        "SpeedCurvesRequest": {
            "build": Build(required=True),
            "speeds": Speeds(),
            "units": units(),
            **pins(),
        },
    }


def _movable_inputs(rulebook: Rulebook) -> Words:
    return Words(
        tuple(rulebook.inputs),
        most=MOST_INPUTS,
        # They are too many to list.
        expected=f"up to {MOST_INPUTS} of the names listed by GET /v1/inputs",
        about="Inputs to move, one at a time; they need not be given in the build.",
    )


def _selection(rulebook: Rulebook) -> Fields:
    return {
        "build": Build(required=True),
        "checks": Checks(tuple(rulebook.checks)),
        "units": units(),
        **pins(),
        "slots": Words(
            tuple(rulebook.slots),
            least=1,
            required=True,
            example='{"slots": ["injectors", ...]}',
            about="Slots to fill; a part that the build names there counts as the present one.",
        ),
        "objective": Word(OBJECTIVES, default="cheapest"),
        "allow": Word(ALLOWED, default="warn", about="The worst verdict allowed."),
        "budget": Money(about="For the parts of the open slots, in the currency of the catalog."),
        "in_stock": Switch(default=True),
    }


def _dyno_requests(rulebook: Rulebook) -> dict[str, Fields]:
    return {
        "CorrectionsRequest": {
            "units": units(),
            **pins(),
            "pulls": PullsInWeather(required=True),
            "weather": Weather(about="Counts for every pull that has no weather of its own."),
            "boost_controlled": Switch(default=False, about="A turbo whose boost is held by a controller."),
        },
        "ComparisonRequest": {
            "units": units(),
            **pins(),
            "quantity": Word(COMPARED, required=True),
            **{side: _side() for side in ("a", "b")},
            "claimed": Claimed(),
            "interleaved": Switch(
                default=False, about="Runs were made in turns, pull n of a beside pull n of b."
            ),
            "in_order": Switch(
                default=False,
                about="The pulls are given in the order they were made: a drift can be looked for.",
            ),
        },
        "CalibrationRequest": {
            "units": units(),
            **pins(),
            "build": Build(required=True),
            "pulls": MeasuredPower(required=True),
        },
    }


def _side() -> Side:
    return Side(
        required=True,
        about="Single figures, or curves of points {speed, value}, or {mean, count}; both sides of one form.",
    )
