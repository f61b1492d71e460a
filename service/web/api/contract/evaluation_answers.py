"""The answer to an evaluation, and what its entries are made of."""

from service.web.api.contract.shared_answers import (
    AS_DELIVERED,
    ASSUMPTIONS,
    CHECK,
    HEADLINE,
    IDENTITY,
    INPUT,
    INPUTS,
    MEASURE,
    MISFITS,
    PARTS,
    PIECE_OF_BUILD,
    QUESTIONS,
    SCOPE,
    SOURCE,
    UNDERSTOOD,
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


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Step": _step(),
        "Judgement": _judgement(),
        "Remedy": _remedy(),
        "Plan": _plan(),
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
        {"check": CHECK, "verdict": VERDICT},
        {
            "text": described(TEXT, "Of a pass at the detail `summary`: what was found, in one sentence."),
            "explanation": described(TEXT, "At `summary` 45 words at most."),
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
            "not_judged_at": described(TEXTS, "Operating points that could not be judged."),
            "needs": described(list_of(INPUTS), "What those points lack: one input of each inner list."),
            "range": described(
                ref("Range"),
                "Where the value may lie under what was assumed, one input at a time, "
                "combined by root sum of squares.",
            ),
            "could_be": described(list_of(VERDICT), "The verdicts reachable under what was assumed."),
            "settle_by": described(INPUTS, "Unknown inputs, the one that would narrow the range most first."),
            "rests_on": described(INPUTS, "What it rests on and was not given; with the detail `full`."),
            "remedies": list_of(ref("Remedy")),
            "cautions": TEXTS,
            "findings": list_of(_finding()),
            "working": described(list_of(ref("Step")), "With the detail `full`."),
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


def _plan() -> Schema:
    change = record({"input": INPUT, "label": TEXT, "set": PIECE_OF_BUILD, "text": TEXT})
    return described(
        record(
            {
                "verdict": described(one_of(("pass", "warn")), "Of the whole build with all of them."),
                "changes": described(list_of(change), "Up to three."),
                "set": described(PIECE_OF_BUILD, "All of them: put this into the build and post it again."),
                "text": described(TEXT, "One sentence, at most 45 words."),
            }
        ),
        "With remedies: the fewest changes that bring the whole build to pass, else to warn; what is "
        "set before what is bolted on or inside the engine. What the customer asked for is given up last. "
        "None where up to three changes do not.",
    )


def _evaluation() -> Schema:
    return record(
        {
            "verdict": WHOLE_VERDICT,
            "complete": described(YES_NO, "Whether every check that applies was judged at every point."),
            "headline": HEADLINE,
            "evaluation": described(TEXT, "Identifies request, rulebook and catalog."),
        },
        {
            **_spoken(),
            "scope": SCOPE,
            "contradictions": described(
                list_of(record({"text": TEXT, "inputs": INPUTS}, {"reading": TEXT})),
                "What the build says against itself, and how it was read all the same.",
            ),
            "plan": ref("Plan"),
            "checks": described(
                list_of(ref("Judgement")), "The worst first; at `summary` a pass has one short text."
            ),
            "open": ref("OpenChecks"),
            "not_applicable": _not_applicable(),
            "understood": UNDERSTOOD,
            "not_used": described(
                list_of(record({"input": INPUT, "text": TEXT})), "What was given and nothing here depends on."
            ),
            "figures": described(list_of(_figure()), "Calculated values that people ask for."),
            "assumptions": described(
                ASSUMPTIONS, "Those that could turn a verdict shown; with the detail `full` all."
            ),
            "more_assumptions": described(INTEGER, "How many more were made."),
            "questions": QUESTIONS,
            "watch": list_of(record({"signal": TEXT, "expect": TEXT, "stop_at": TEXT})),
            "rulebook": IDENTITY,
            "service": TEXT,
            "parts": PARTS,
            "misfits": MISFITS,
            "as_delivered": AS_DELIVERED,
            "catalog": IDENTITY,
        },
    )


def _spoken() -> dict[str, Schema]:
    """What the detail `spoken` has besides verdict and headline."""
    question = record({"input": INPUT, "ask": TEXT})
    return {
        "say": described(TEXT, "With `spoken`: what to add, at most two sentences."),
        "question": described(question, "With `spoken`: the question that tells most."),
    }


def _not_applicable() -> Schema:
    return described(
        record(
            {"count": INTEGER},
            {"checks": list_of(CHECK), "reasons": list_of(record({"check": CHECK, "reason": TEXT}))},
        ),
        "Checks that are not for this build; named, with reasons, at `full` or where needs are included.",
    )


def _figure() -> Schema:
    return record(
        {"figure": TEXT, "label": TEXT, "value": NUMBER, "unit": TEXT, "text": TEXT},
        {"range": described(ref("Range"), "Where it may lie under what was assumed.")},
    )
