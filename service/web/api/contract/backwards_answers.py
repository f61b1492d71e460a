"""The answers of the calls that work backwards."""

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
    TEXT,
    YES_NO,
    Schema,
    described,
    list_of,
    one_of,
    record,
    ref,
)

WITH_PARTS = {"parts": PARTS, "as_delivered": AS_DELIVERED, "misfits": MISFITS, "catalog": IDENTITY}
# A value that can be put into a build.
SETTABLE: dict[str, Schema] = {
    "value": NUMBER,
    "unit": TEXT,
    "text": TEXT,
    "set": described({"type": ["string", "integer"]}, "As it stands in a build."),
}


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Requirements": _requirements(),
        "Requirement": _requirement(),
        "FittingPart": record(
            {
                "number": TEXT,
                "title": TEXT,
                "price": NUMBER,
                "stock": INTEGER,
                "verdict": VERDICT,
                "text": TEXT,
            }
        ),
        "Size": record(SETTABLE),
        "BuildComparison": _build_comparison(),
        "Solutions": _solutions(),
    }


def _requirements() -> Schema:
    return record(
        {
            "headline": HEADLINE,
            "allowed": one_of(("pass", "warn")),
            "requirements": list_of(ref("Requirement")),
            "questions": QUESTIONS,
            "assumptions": described(ASSUMPTIONS, "Those that decide a size."),
            "open": OPEN,
            **MADE_BY,
        },
        {"scope": SCOPE, "understood": UNDERSTOOD, **WITH_PARTS},
    )


def _requirement() -> Schema:
    side = record({}, {"at_least": ref("Limit"), "at_most": ref("Limit")})
    states = ("needed", "none_will_do", "not_judged")
    return record(
        {
            "slot": TEXT,
            "input": INPUT,
            "label": TEXT,
            "state": described(one_of(states), "not_judged: see needs; only for a slot that was named."),
            "checks": described(list_of(CHECK), "What asks for it."),
            "text": TEXT,
        },
        {
            "need": described(side, "The value that passes."),
            "edge": described(side, "The value that just does not fail."),
            "next_size": described(ref("Size"), "The next one that is sold."),
            "have": described(TEXT, "What the build has."),
            "as_delivered": described(YES_NO, "Whether that is what the car came with."),
            "verdict": described(VERDICT, "Of what the build has."),
            "depends_on": described(INPUTS, "Inputs not given that move it most."),
            "needs": list_of(record({"check": CHECK, "needs": list_of(INPUTS)})),
            "parts": described(list_of(ref("FittingPart")), "The cheapest in stock that meet it."),
        },
    )


def _build_comparison() -> Schema:
    figure = record(
        {
            "figure": TEXT,
            "label": TEXT,
            "values": described(list_of({"oneOf": [MEASURE, {"type": "null"}]}), "One a build."),
        },
        {"change": described(NUMBER, "From the first build to the last, in the unit of the values.")},
    )
    return record(
        {
            "headline": HEADLINE,
            "names": described(list_of(TEXT), "As the request has them."),
            "figures": list_of(figure),
            "verdicts": described(
                list_of(record({"check": CHECK, "verdicts": list_of(WHOLE_VERDICT)})),
                "The checks that do not come to the same in every build.",
            ),
            "better": described(list_of(CHECK), "From the first build to the last."),
            "worse": list_of(CHECK),
            "questions": QUESTIONS,
            **MADE_BY,
        },
        {"scope": SCOPE, "misfits": MISFITS, "catalog": IDENTITY},
    )


def _solutions() -> Schema:
    solution = record(
        {**SETTABLE, "verdict": described(WHOLE_VERDICT, "Of the whole build with it.")},
        {
            "range": described(ref("Range"), "Where it may lie under what was assumed."),
            "next_size": described(ref("Size"), "The nearest that is sold."),
            "stopped_by": CHECK,
            "remark": TEXT,
        },
    )
    nearest = record({**SETTABLE, "reaches": MEASURE})
    return record(
        {
            "headline": HEADLINE,
            "find": INPUT,
            "label": TEXT,
            "questions": QUESTIONS,
            "assumptions": ASSUMPTIONS,
            **MADE_BY,
        },
        {
            "solutions": list_of(solution),
            "nearest": described(nearest, "Where no value gets there: the nearest, and what it reaches."),
            "scope": SCOPE,
            "understood": UNDERSTOOD,
            **WITH_PARTS,
        },
    )
