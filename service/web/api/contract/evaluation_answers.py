"""The answer to an evaluation, and what its entries are made of."""

from service.web.api.contract.shared_answers import (
    ASSUMPTIONS,
    CHECK,
    IDENTITY,
    INPUT,
    INPUTS,
    MADE_BY,
    MEASURE,
    MISFITS,
    NOT_CHECKED,
    PARTS,
    PIECE_OF_BUILD,
    SOURCE,
    UNDERSTOOD,
    VERDICT,
    WHOLE_VERDICT,
)
from service.web.api.json_schema import (
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


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Step": _step(),
        "Judgement": _judgement(),
        "Remedy": _remedy(),
        "Evaluation": _evaluation(),
    }


def _step() -> Schema:
    return record(
        {
            "name": TEXT,
            "label": TEXT,
            "formula": TEXT,
            "with_numbers": TEXT,
            "value": NUMBER_OR_NULL,
            "unit": TEXT,
            "text": TEXT,
            "source": ref("Source"),
        }
    )


def _judgement() -> Schema:
    return record(
        {"check": CHECK, "verdict": VERDICT, "explanation": TEXT},
        {
            "title": TEXT,
            "value": MEASURE,
            "limit": _limit(),
            "margin": described(
                NUMBER, "How far inside (+) or outside (-) the limit that counts, as a share of it."
            ),
            "missing": described(
                TEXTS, "Of what the check requires, the inputs that are not as they have to be."
            ),
            "judged_at": TEXT,
            "not_judged_at": TEXTS,
            "range": described(
                record({"low": NUMBER, "high": NUMBER, "unit": TEXT, "text": TEXT}),
                "Where the value may lie under what was assumed, one input at a time, "
                "combined by root sum of squares.",
            ),
            "could_be": described(list_of(VERDICT), "The verdicts reachable under what was assumed."),
            "settle_by": described(INPUTS, "Unknown inputs, the one that would narrow the range most first."),
            "leans_on": INPUTS,
            "remedies": list_of(ref("Remedy")),
            "cautions": TEXTS,
            "findings": list_of(_finding()),
            "working": list_of(ref("Step")),
        },
    )


def _limit() -> Schema:
    return record(
        {
            "value": NUMBER_OR_NULL,
            "unit": TEXT,
            "text": TEXT,
            "side": described(one_of(("above", "below")), "Beyond it on this side is too far."),
            "source": SOURCE,
        }
    )


def _finding() -> Schema:
    return record({"kind": TEXT, "verdict": VERDICT, "inputs": INPUTS, "text": TEXT})


def _remedy() -> Schema:
    return record(
        {
            "set": described(PIECE_OF_BUILD, "Put this into the build and post it again."),
            "text": TEXT,
            "fixes": list_of(CHECK),
            "breaks": list_of(record({"check": CHECK, "from": TEXT, "to": TEXT})),
            "verdict": described(VERDICT, "Of the whole build with it."),
        }
    )


def _evaluation() -> Schema:
    return record(
        {
            "verdict": WHOLE_VERDICT,
            "complete": described(YES_NO, "Whether every check that applies was judged at every point."),
            "headline": described(TEXT, "One sentence, fit to read aloud."),
            **MADE_BY,
            "evaluation": TEXT,
        },
        {
            "fail": list_of(CHECK),
            "warn": list_of(CHECK),
            "scope": described(
                list_of(record({"text": TEXT, "inputs": INPUTS})),
                "What of this build is not modelled, said first.",
            ),
            "checks": list_of(ref("Judgement")),
            "not_checked": NOT_CHECKED,
            "not_applicable": list_of(record({"check": CHECK, "reason": TEXT})),
            "understood": UNDERSTOOD,
            "assumptions": ASSUMPTIONS,
            "questions": list_of(
                record(
                    {"input": INPUT, "ask": TEXT, "why": TEXT, "would_settle": list_of(CHECK)},
                    {"could_mean": TEXTS},
                )
            ),
            "watch": list_of(record({"signal": TEXT, "expect": TEXT, "stop_at": TEXT})),
            "parts": PARTS,
            "misfits": MISFITS,
            "catalog": IDENTITY,
        },
    )
