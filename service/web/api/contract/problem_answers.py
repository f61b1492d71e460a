"""What is answered instead of an answer."""

from service.web.api.json_schema import INTEGER, TEXT, Schema, described, list_of, record, ref


def schemas() -> dict[str, Schema]:
    """The schemas by name."""
    return {
        "Fault": record(
            {"pointer": described(TEXT, "JSON Pointer into the request."), "code": TEXT, "detail": TEXT},
            {"expected": TEXT, "suggestion": TEXT},
        ),
        "Problem": record(
            {
                "type": TEXT,
                "title": TEXT,
                "status": INTEGER,
                "code": described(TEXT, "Stable; switch on this, never on prose."),
                "detail": TEXT,
            },
            {
                "suggestion": TEXT,
                "loaded": TEXT,
                "trace_id": described(TEXT, "With a 500: what the service logged it under."),
                "errors": list_of(ref("Fault")),
            },
        ),
    }
