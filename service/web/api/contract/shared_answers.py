"""What several answers hold."""

from service.rulebook.rulebook import Rulebook
from service.web.api.json_schema import (
    INTEGER,
    NUMBER,
    NUMBER_OR_NULL,
    TEXT,
    TEXTS,
    Schema,
    described,
    list_of,
    one_of,
    open_word,
    record,
    ref,
)

# Open, for a foreman may add to either: an answer holds words a client made before has not heard of.
CHECK = ref("CheckName")
INPUT = ref("InputName")
INPUTS = list_of(INPUT)
VERDICT = ref("Verdict")
WHOLE_VERDICT = ref("WholeVerdict")
IDENTITY = ref("Identity")
MEASURE = ref("Measure")
# Of whatever made the answer.
MADE_BY: dict[str, Schema] = {"rulebook": IDENTITY, "service": TEXT}
UNDERSTOOD = list_of(ref("Understood"))
ASSUMPTIONS = list_of(ref("Assumption"))
PARTS = list_of(ref("NamedPart"))
MISFITS = described(list_of(ref("Misfit")), "Parts that do not go together; the whole fails.")
HEADLINE = described(TEXT, "One breath, at most 25 words, fit to read aloud.")
OPEN = ref("OpenChecks")
QUESTIONS = list_of(ref("Question"))
SCOPE = described(
    list_of(record({"text": TEXT, "inputs": INPUTS})), "What of this build is not modelled, said first."
)
AS_DELIVERED = described(INPUTS, "The inputs that are still what the car came with.")
# A piece of a build spec, to be put into one.
PIECE_OF_BUILD: Schema = {"type": "object", "additionalProperties": True}
BETWEEN = record({"low": NUMBER, "high": NUMBER, "unit": TEXT})
SOURCE = record({"kind": TEXT}, {"citation": described(TEXT, "With the detail `full`.")})


def schemas(rulebook: Rulebook) -> dict[str, Schema]:
    """The schemas by name."""
    checks, inputs = list(rulebook.checks), list(rulebook.inputs)
    return {
        "CheckId": one_of(checks),
        "CheckName": described(open_word(checks), "A check, as GET /v1/checks lists them."),
        "InputName": described(open_word(inputs), "An input, as GET /v1/inputs lists them."),
        "Verdict": one_of(("pass", "warn", "fail")),
        "WholeVerdict": one_of(("pass", "warn", "fail", "not_checked")),
        "Identity": record({"version": TEXT, "digest": TEXT}),
        "Measure": record({"value": NUMBER_OR_NULL, "unit": TEXT, "text": TEXT}),
        "Source": record({"kind": TEXT, "citation": TEXT}),
        "Understood": record({"input": INPUT, "text": TEXT}),
        "Assumption": _assumption(),
        "NamedPart": record({"slot": TEXT, "number": TEXT, "title": TEXT}),
        "Misfit": record({"parts": TEXTS, "over": TEXT, "text": TEXT}),
        "Range": record({"low": NUMBER, "high": NUMBER, "unit": TEXT, "text": TEXT}),
        "Question": _question(),
        "OpenChecks": _open_checks(),
        "PullSummary": _pull_summary(),
    }


def _assumption() -> Schema:
    return record(
        {"input": INPUT, "label": TEXT, "text": TEXT},
        {
            "source": described(SOURCE, "How far it may be trusted; with the detail `full`."),
            "between": described(TEXT, "The range in words."),
            "value": MEASURE,
            "range": record({"low": MEASURE, "high": MEASURE}),
        },
    )


def _question() -> Schema:
    return record(
        {"input": INPUT, "ask": TEXT, "why": TEXT},
        {
            "answers": described(TEXTS, "The words it may have, where they are few."),
            "could_mean": INPUTS,
            "would_settle": described(list_of(CHECK), "Checks that wait for it; with the detail `full`."),
        },
    )


def _open_checks() -> Schema:
    needs = described(list_of(INPUTS), "One input of each inner list.")
    return described(
        record(
            {"count": INTEGER, "checks": list_of(CHECK)},
            {"needs": list_of(record({"check": CHECK, "needs": needs}, {"reason": TEXT}))},
        ),
        'Checks that could not be judged: at `summary` the nearest to it named; with `include: ["needs"]` or '
        "at `full` all, and what each lacks.",
    )


def _pull_summary() -> Schema:
    return record(
        {"count": INTEGER, "mean": MEASURE},
        {
            "scatter": described(MEASURE, "Standard deviation of one pull."),
            "scatter_share": described(NUMBER, "The scatter as a share of the mean."),
            "at": described(one_of(("crank", "wheels")), "Where it was measured."),
        },
    )
