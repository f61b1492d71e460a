"""The answers to limits, batches, sweeps, selections and speed curves."""

from service.web.api.contract.shared_answers import (
    AS_DELIVERED,
    ASSUMPTIONS,
    CHECK,
    HEADLINE,
    IDENTITY,
    INPUT,
    INPUTS,
    MADE_BY,
    MEASURE,
    MISFITS,
    OPEN,
    PARTS,
    QUESTIONS,
    SCOPE,
    UNDERSTOOD,
    VERDICT,
    WHOLE_VERDICT,
)
from service.web.api.json_schema import (
    INTEGER,
    NUMBER,
    NUMBER_OR_NULL,
    TEXT,
    TEXT_OR_NULL,
    TEXTS,
    YES_NO,
    Schema,
    described,
    list_of,
    one_of,
    record,
    ref,
)

LEAST_MARGIN = described(
    record({"check": CHECK, "margin": NUMBER}), "The check with the least room, and how much it has."
)
_UNITS: Schema = {"oneOf": [TEXT_OR_NULL, list_of(TEXT_OR_NULL)]}
# What is said of the catalog wherever one is loaded.
WITH_PARTS = {"parts": PARTS, "as_delivered": AS_DELIVERED, "misfits": MISFITS, "catalog": IDENTITY}


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Limits": _limits(),
        "Limit": record(
            {
                "value": NUMBER,
                "unit": TEXT,
                "text": TEXT,
                "set": described({"type": ["string", "integer"]}, "As it stands in a build."),
                "stopped_by": CHECK,
            },
            {"range": described(ref("Range"), "Between which it may lie under what was assumed.")},
        ),
        "Batch": _batch(),
        "Sweep": _sweep(),
        "Selection": _selection(),
        "PartSet": _part_set(),
        "SpeedCurves": _speed_curves(),
    }


def _limits() -> Schema:
    sides = record({}, {"at_least": ref("Limit"), "at_most": ref("Limit")})
    limit = record(
        {
            "input": INPUT,
            "label": TEXT,
            "state": described(
                one_of(("limited", "free", "not_judged", "none_will_do")),
                "free: judged from end to end and nothing stopped it; not_judged: see needs.",
            ),
            "text": TEXT,
        },
        {
            "now": TEXT,
            "comfortable": described(sides, "Within it every check that depends on the input passes."),
            "edge": described(sides, "Within it none of them fails."),
            "stopped_by": described(CHECK, "Where no value will do."),
            "depends_on": described(INPUTS, "Inputs not given that move the limit most."),
            "not_looked_at": described(list_of(CHECK), "Checks that could stop it and lack something."),
            "needs": described(
                list_of(record({"check": CHECK, "needs": list_of(INPUTS)})),
                "What has to be known before it can be judged: one input of each inner list.",
            ),
        },
    )
    return record(
        {
            "headline": HEADLINE,
            "limits": list_of(limit),
            "questions": QUESTIONS,
            "assumptions": described(ASSUMPTIONS, "Those that decide a limit."),
            "open": OPEN,
            **MADE_BY,
        },
        {"scope": SCOPE, "understood": UNDERSTOOD, **WITH_PARTS},
    )


def _batch() -> Schema:
    judged = record(
        {"check": CHECK, "verdict": VERDICT}, {"value": MEASURE, "margin": NUMBER, "judged_at": TEXT}
    )
    entry = record(
        {"status": {"type": "integer", "enum": [200, 422]}},
        {
            "verdict": WHOLE_VERDICT,
            "checks": list_of(judged),
            "misfits": MISFITS,
            "as_delivered": AS_DELIVERED,
            "errors": list_of(ref("Fault")),
        },
    )
    return record({"headline": HEADLINE, "builds": list_of(entry), **MADE_BY}, {"catalog": IDENTITY})


def _sweep() -> Schema:
    judged = record(
        {
            "check": CHECK,
            "verdict": TEXTS,
            "value": list_of(NUMBER_OR_NULL),
            "unit": described(_UNITS, "One for all candidates, or one each where they are of several kinds."),
            "margin": list_of(NUMBER_OR_NULL),
        }
    )
    return record(
        {
            "headline": HEADLINE,
            "count": INTEGER,
            "verdict": list_of(WHOLE_VERDICT),
            "checks": list_of(judged),
            **MADE_BY,
        },
        {
            "open": OPEN,
            "understood": UNDERSTOOD,
            "assumptions": ASSUMPTIONS,
            **WITH_PARTS,
        },
    )


def _selection() -> Schema:
    return record(
        {
            "headline": HEADLINE,
            "objective": TEXT,
            "allowed": TEXT,
            "proved": described(YES_NO, "Whether the solver went through all sets."),
            "sets": list_of(ref("PartSet")),
            "slots": list_of(_slot()),
            "questions": QUESTIONS,
            "assumptions": described(ASSUMPTIONS, "Those that could turn a verdict of the best set."),
            "open": OPEN,
            **MADE_BY,
            "catalog": IDENTITY,
        },
        {
            "conflict": described(
                record({"text": TEXT, "checks": list_of(CHECK)}, {"nearest": ref("PartSet")}),
                "Where no set will do: the checks that have to give, and the nearest set.",
            ),
            "scope": SCOPE,
            "understood": UNDERSTOOD,
        },
    )


def _slot() -> Schema:
    candidate = record(
        {
            "number": TEXT,
            "title": TEXT,
            "price": NUMBER,
            "stock": INTEGER,
            "text": described(TEXT, "What it does in this build, by the check that it decides."),
        },
        {"verdict": WHOLE_VERDICT, "least_margin": LEAST_MARGIN},
    )
    return record({"slot": TEXT, "parts": list_of(candidate)})


def _part_set() -> Schema:
    return record(
        {
            "parts": {"type": "object", "additionalProperties": TEXT},
            "price": NUMBER,
            "price_text": described(TEXT, "The price with its currency."),
            "text": described(TEXT, "What it costs and leaves; of others how they differ from the first."),
            "verdict": WHOLE_VERDICT,
            "warns": list_of(CHECK),
        },
        {
            "judged": described(INTEGER, "How many checks could be judged."),
            "least_margin": LEAST_MARGIN,
            "changes": TEXTS,
        },
    )


def _speed_curves() -> Schema:
    values = list_of(NUMBER_OR_NULL)
    column = record(
        {"quantity": TEXT, "label": TEXT, "unit": TEXT, "values": values},
        {
            "low": described(values, "Of power and torque: what the assumptions leave, downwards."),
            "high": described(values, "The same upwards."),
        },
    )
    missing = record({"quantity": TEXT, "label": TEXT, "needs": list_of(INPUTS), "text": TEXT})
    return record(
        {
            "headline": HEADLINE,
            "columns": list_of(column),
            "not_worked_out": described(list_of(missing), "The columns that lack something."),
            "questions": QUESTIONS,
            **MADE_BY,
        },
        {"scope": SCOPE, "understood": UNDERSTOOD, "assumptions": ASSUMPTIONS, **WITH_PARTS},
    )
