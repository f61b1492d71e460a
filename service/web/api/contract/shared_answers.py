"""What several answers hold."""

from service.web.api.json_schema import TEXT, TEXTS, Schema, described, list_of, one_of, record

VERDICT = one_of(("pass", "warn", "fail"))
WHOLE_VERDICT = one_of(("pass", "warn", "fail", "not_checked"))
IDENTITY = record({"version": TEXT, "digest": TEXT})
# Of whatever made the answer.
MADE_BY: dict[str, Schema] = {"rulebook": IDENTITY, "service": TEXT}
UNDERSTOOD = list_of(record({"input": TEXT, "text": TEXT}))
PARTS = list_of(record({"slot": TEXT, "number": TEXT, "title": TEXT}))
MISFITS = described(
    list_of(record({"parts": TEXTS, "over": TEXT, "text": TEXT})),
    "Parts that do not go together; the whole fails.",
)
OBJECT: Schema = {"type": "object"}
OBJECTS = list_of(OBJECT)
