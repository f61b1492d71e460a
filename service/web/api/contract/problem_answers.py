"""What is answered instead of an answer."""

from service.web.api.json_schema import INTEGER, TEXT, Schema, described, list_of, record, ref
from service.web.api.problem_codes import FAULTS, PROBLEMS

PROBLEM_CODE = described(
    TEXT | {"examples": list(PROBLEMS)},
    "Stable; switch on this, never on prose. Later versions may have more; GET /problems lists all.",
)
FAULT_CODE = described(
    TEXT | {"examples": list(FAULTS)},
    "Stable; later versions may have more. GET /problems lists all.",
)


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    problem = {"code": TEXT, "status": INTEGER, "title": TEXT, "meaning": TEXT}
    meaning = {"code": TEXT, "meaning": TEXT}
    return {
        "Fault": record(
            {
                "pointer": described(TEXT, "JSON Pointer into the body, or `?` and the word of a query."),
                "code": FAULT_CODE,
                "detail": TEXT,
            },
            {
                "expected": TEXT,
                "suggestion": TEXT,
                "options": described(list_of(TEXT), "What it may mean, where that is more than one thing."),
            },
        ),
        "Problem": record(
            {
                "type": described(TEXT, "The page that explains the code, /problems/{code}."),
                "title": TEXT,
                "status": INTEGER,
                "code": PROBLEM_CODE,
                "detail": TEXT,
            },
            {
                "suggestion": TEXT,
                "loaded": TEXT,
                "trace_id": described(TEXT, "With a 500: what the service logged it under."),
                "errors": list_of(ref("Fault")),
            },
        ),
        "ProblemCodes": record({"problems": list_of(record(problem)), "faults": list_of(record(meaning))}),
        "CodeMeaning": record(meaning, {"status": INTEGER, "title": TEXT}),
    }
