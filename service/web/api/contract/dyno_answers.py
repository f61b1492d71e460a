"""The answers to corrections, comparisons and calibrations."""

from collections.abc import Sequence

from service.web.api.contract.shared_answers import MADE_BY, OBJECT, OBJECTS
from service.web.api.json_schema import TEXT, TEXTS, Schema, described, list_of, one_of, record


def schemas(checks: Sequence[str]) -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Corrections": _corrections(),
        "Comparison": _comparison(),
        "Calibration": _calibration(checks),
    }


def _corrections() -> Schema:
    pull = record({"uncorrected": OBJECT, "corrections": OBJECTS})
    return record({"pulls": list_of(pull), "cautions": TEXTS, **MADE_BY})


def _comparison() -> Schema:
    verdict = one_of(("real", "not_shown", "cannot_be_told"))
    return record({"verdict": verdict, "text": TEXT, "cautions": TEXTS, **MADE_BY})


def _calibration(checks: Sequence[str]) -> Schema:
    return record(
        {
            "pulls": OBJECT,
            "found": OBJECTS,
            "explained_by": list_of(record({"input": TEXT, "text": TEXT})),
            "spec": described(OBJECT, "The build to post back."),
            "contradicted": list_of(record({"check": one_of(checks), "text": TEXT})),
            "confirmed": list_of(one_of(checks), most=len(checks)),
            "cautions": TEXTS,
            **MADE_BY,
        },
        {"logged": described(OBJECTS, "Logged figures beside the reckoned ones.")},
    )
