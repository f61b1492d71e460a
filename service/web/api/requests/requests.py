"""Every request and its fields: read by marshmallow, told by the contract."""

from collections.abc import Mapping

from service.advice.choice import OBJECTIVES
from service.advice.limits import MOST_INPUTS
from service.advice.sweeps import MOST_CANDIDATES
from service.rulebook.rulebook import Rulebook
from service.web.api.requests.columns_field import Columns
from service.web.api.requests.dyno_fields import Claimed, MeasuredPower, PullsInWeather, Side, Weather
from service.web.api.requests.plain_fields import (
    Build,
    Builds,
    Checks,
    Digest,
    Money,
    Parts,
    Switch,
    Word,
    Words,
)
from service.web.api.requests.request_field import RequestField
from service.web.api.requests.speeds_field import Speeds

DETAILS = ("spoken", "summary", "full")
UNITS = ("metric", "us")
COMPARED = ("power", "torque")
ALLOWED = ("pass", "warn")
INCLUDES = ("ranges", "questions", "needs", "remedies")
INCLUDED = ("ranges", "questions")
PINS = ("rulebook", "catalog")

Fields = dict[str, RequestField]


def requests(rulebook: Rulebook) -> dict[str, Fields]:
    """The fields of each request by the name of its schema."""
    return (
        {"EvaluationRequest": _evaluation(rulebook)} | _advice_requests(rulebook) | _dyno_requests(rulebook)
    )


def _evaluation(rulebook: Rulebook) -> Fields:
    checks = tuple(rulebook.checks)
    return {
        "build": Build(required=True),
        "checks": Checks(checks, about="Judge these only."),
        "units": _units("Units of the answer; the build may use any."),
        **_pins(),
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
            "remedies: what would fix each warning and failure, tried on the whole build.",
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
            "units": _units(),
            **_pins(),
            "inputs": _movable_inputs(rulebook),
        },
        "BatchRequest": {
            "checks": Checks(tuple(rulebook.checks)),
            "units": _units(),
            **_pins(),
            "builds": Builds(required=True),
        },
        "SweepRequest": {
            "build": Build(required=True),
            "checks": Checks(tuple(rulebook.checks)),
            "units": _units(),
            **_pins(),
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
            "units": _units(),
            **_pins(),
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
        **_pins(),
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
            "units": _units(),
            **_pins(),
            "pulls": PullsInWeather(required=True),
            "weather": Weather(about="Counts for every pull that has no weather of its own."),
            "boost_controlled": Switch(default=False, about="A turbo whose boost is held by a controller."),
        },
        "ComparisonRequest": {
            "units": _units(),
            **_pins(),
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
            "units": _units(),
            **_pins(),
            "build": Build(required=True),
            "pulls": MeasuredPower(required=True),
        },
    }


def _side() -> Side:
    return Side(
        required=True,
        about="Single figures, or curves of points {speed, value}, or {mean, count}; both sides of one form.",
    )


def _units(about: str | None = None) -> Word:
    return Word(UNITS, default="metric", about=about)


def _pins() -> Mapping[str, RequestField]:
    return {
        "rulebook": Digest("rulebook", about="Digest of the rulebook to be used; 412 if another is loaded."),
        "catalog": Digest(
            "catalog", about="Digest of the catalog to be used; 412 if another is loaded, or none."
        ),
    }
