"""The answers to corrections, comparisons and calibrations."""

from service.web.api.contract.shared_answers import (
    AS_DELIVERED,
    ASSUMPTIONS,
    BETWEEN,
    CHECK,
    HEADLINE,
    IDENTITY,
    INPUT,
    MADE_BY,
    MEASURE,
    MISFITS,
    PARTS,
    PIECE_OF_BUILD,
)
from service.web.api.json_schema import (
    INTEGER,
    NUMBER,
    NUMBER_OR_NULL,
    TEXT,
    TEXTS,
    YES_NO,
    Schema,
    described,
    list_of,
    one_of,
    record,
    ref,
)

_FIGURES = {"power": MEASURE, "torque": MEASURE}


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Corrections": _corrections(),
        "Comparison": _comparison(),
        "Calibration": _calibration(),
    }


def _corrections() -> Schema:
    correction = record(
        {"standard": TEXT, "name": TEXT, "factor": NUMBER, "within_range": YES_NO, "comparable": YES_NO},
        {
            **_FIGURES,
            "factor_1": described(record({}, _FIGURES), "Without a correction, where boost is controlled."),
            "text": TEXT,
        },
    )
    pull = record({"uncorrected": record({}, _FIGURES), "corrections": list_of(correction)})
    return record(
        {"headline": HEADLINE, "pulls": list_of(pull), "cautions": TEXTS, **MADE_BY}, {"catalog": IDENTITY}
    )


def _comparison() -> Schema:
    return record(
        {
            "headline": HEADLINE,
            "verdict": one_of(("real", "not_shown", "cannot_be_told")),
            "text": TEXT,
            "cautions": TEXTS,
            **MADE_BY,
        },
        {
            "a": ref("PullSummary"),
            "b": ref("PullSummary"),
            "difference": MEASURE,
            "share": described(NUMBER, "The difference as a share of side a."),
            **_test(),
            **_curves(),
            "catalog": IDENTITY,
        },
    )


def _test() -> dict[str, Schema]:
    chance = {"chance_alone": NUMBER_OR_NULL}
    return {
        "between": described(BETWEEN, "Where the difference lies, at 95 %."),
        "test": TEXT,
        "statistic": NUMBER_OR_NULL,
        "degrees_of_freedom": NUMBER,
        "chance_alone": described(NUMBER, "How often chance alone would show such a difference."),
        "smallest_seen": described(MEASURE, "What such a test sees four times of five."),
        "pulls_needed": described(INTEGER, "On each side."),
        "drift": described(_measure_with(chance), "From pull to pull."),
        "scatter_that_would_do": _measure_with({"share": NUMBER}),
    }


def _measure_with(more: dict[str, Schema]) -> Schema:
    return record({"value": NUMBER_OR_NULL, "unit": TEXT, "text": TEXT, **more})


def _curves() -> dict[str, Schema]:
    words = ("speed", "difference", "low", "high")
    return {
        "interpolated": described(YES_NO, "Whether the pulls were brought to a common grid of speeds."),
        "columns": record({word: list_of(NUMBER) for word in words}),
        "units": record({"speed": TEXT, "difference": TEXT}),
    }


def _calibration() -> Schema:
    quantity = record({"quantity": TEXT, "label": TEXT, "value": MEASURE, "between": BETWEEN})
    logged = record(
        {"quantity": TEXT, "logged": MEASURE, "calculated": MEASURE, "agrees": YES_NO, "text": TEXT}
    )
    return record(
        {
            "headline": HEADLINE,
            "pulls": ref("PullSummary"),
            "found": list_of(quantity),
            "explained_by": list_of(record({"input": INPUT, "text": TEXT})),
            "spec": described(PIECE_OF_BUILD, "The build to post back."),
            "contradicted": list_of(record({"check": CHECK, "text": TEXT})),
            "confirmed": list_of(CHECK),
            "cautions": TEXTS,
            **MADE_BY,
        },
        {
            "logged": described(list_of(logged), "Logged figures beside the calculated ones."),
            "text": TEXT,
            "assumptions": ASSUMPTIONS,
            "parts": PARTS,
            "misfits": MISFITS,
            "as_delivered": AS_DELIVERED,
            "catalog": IDENTITY,
        },
    )
