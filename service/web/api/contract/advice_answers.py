"""The answers to limits, batches, sweeps, selections and speed curves."""

from collections.abc import Sequence

from service.web.api.contract.shared_answers import (
    IDENTITY,
    MADE_BY,
    MISFITS,
    OBJECT,
    OBJECTS,
    PARTS,
    VERDICT,
    WHOLE_VERDICT,
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
from service.web.api.requests.requests import ALLOWED


def schemas(checks: Sequence[str]) -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Limits": _limits(one_of(checks)),
        "Limit": record(
            {
                "text": TEXT,
                "set": described({"type": ["string", "integer"]}, "As it stands in a build."),
                "stopped_by": one_of(checks),
            }
        ),
        "Batch": _batch(one_of(checks)),
        "Sweep": _sweep(one_of(checks)),
        "Selection": _selection(),
        "PartSet": _part_set(checks),
        "SpeedCurves": _speed_curves(),
    }


def _limits(check: Schema) -> Schema:
    limit = record(
        {"input": TEXT, "label": TEXT, "text": TEXT},
        {"now": TEXT, "at_least": ref("Limit"), "at_most": ref("Limit"), "stopped_by": check},
    )
    return record(
        {
            "verdict": described(WHOLE_VERDICT, "What the build is now."),
            "keeps": one_of(ALLOWED),
            "limits": list_of(limit),
            **MADE_BY,
        },
        {"understood": OBJECTS, "assumptions": OBJECTS},
    )


def _batch(check: Schema) -> Schema:
    judged = record(
        {"check": check, "verdict": VERDICT}, {"value": ref("Measure"), "margin": NUMBER, "judged_at": TEXT}
    )
    entry = record(
        {"status": {"type": "integer", "enum": [200, 422]}},
        {
            "verdict": WHOLE_VERDICT,
            "checks": list_of(judged),
            "misfits": MISFITS,
            "errors": list_of(ref("Fault")),
        },
    )
    return record({"builds": list_of(entry), **MADE_BY}, {"catalog": IDENTITY})


def _sweep(check: Schema) -> Schema:
    judged = record(
        {
            "check": check,
            "verdict": TEXTS,
            "value": list_of(NUMBER_OR_NULL),
            "unit": {"type": ["string", "array", "null"]},
            "margin": list_of(NUMBER_OR_NULL),
        }
    )
    return record(
        {"count": INTEGER, "verdict": list_of(WHOLE_VERDICT), "checks": list_of(judged), **MADE_BY},
        {
            "not_checked": OBJECTS,
            "understood": OBJECTS,
            "assumptions": OBJECTS,
            "parts": PARTS,
            "misfits": MISFITS,
            "catalog": IDENTITY,
        },
    )


def _selection() -> Schema:
    return record(
        {
            "objective": TEXT,
            "allowed": TEXT,
            "proved": described(YES_NO, "Whether the solver went through all sets."),
            "sets": list_of(ref("PartSet")),
            "slots": OBJECTS,
            **MADE_BY,
            "catalog": IDENTITY,
        },
        {
            "conflict": described(
                OBJECT, "Where no set will do: the checks that have to give, and the nearest set."
            ),
            "understood": OBJECTS,
        },
    )


def _part_set(checks: Sequence[str]) -> Schema:
    return record(
        {
            "parts": {"type": "object", "additionalProperties": TEXT},
            "price": NUMBER,
            "text": TEXT,
            "verdict": WHOLE_VERDICT,
            "warns": list_of(one_of(checks), most=len(checks)),
        },
        {
            "judged": described(INTEGER, "How many checks could be judged."),
            "least_margin": OBJECT,
            "changes": TEXTS,
        },
    )


def _speed_curves() -> Schema:
    column = record({"quantity": TEXT, "label": TEXT, "unit": TEXT, "values": list_of(NUMBER_OR_NULL)})
    return record(
        {
            "columns": list_of(column),
            "not_worked_out": list_of(record({"quantity": TEXT, "needs": list_of(TEXTS)})),
            **MADE_BY,
        },
        {"understood": OBJECTS, "assumptions": OBJECTS},
    )
