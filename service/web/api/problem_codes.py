"""Every code of a problem and of a fault, with what it means; GET /problems tells them."""

from typing import NamedTuple


class Meaning(NamedTuple):
    """The status a problem comes with, its title, and what to do about it."""

    status: int
    title: str
    meaning: str


# Seconds until a call that met no room may find some, as a header has it.
RETRY_AFTER = "1"
_WHAT_TO_SEND = "Send one JSON object as `application/json`, with its Content-Length."
# The last ten are the gateway's and the server's, which refuse what never reaches the service.
PROBLEMS = {
    "spec-faults": Meaning(
        422,
        "The request has faults",
        "Each of `errors` says where, what, and what fits. Fix them and send the request again.",
    ),
    "too-much-work": Meaning(
        422, "The request asks for too much", "Work is counted, not timed. Ask for less in one call."
    ),
    "no-catalog": Meaning(
        422, "No catalog is loaded", "Whoever runs the service has to start it with CATALOG."
    ),
    "wrong-type": Meaning(422, "The body is not an object", _WHAT_TO_SEND),
    "too-deep": Meaning(422, "The body is nested too deep", "No request needs more than a dozen levels."),
    "rulebook-not-loaded": Meaning(
        412,
        "Another rulebook is loaded",
        "`loaded` is its digest. Look up what changed in rules/CHANGES.md and pin it, or leave the pin out.",
    ),
    "catalog-not-loaded": Meaning(
        412,
        "Another catalog is loaded, or none",
        "`loaded` is its digest. Read the parts anew and pin it, or leave the pin out.",
    ),
    "changed": Meaning(
        412, "The page has changed", "Its ETag is none of those in If-Match. Ask without that header."
    ),
    "not-json": Meaning(400, "The body is not JSON", _WHAT_TO_SEND),
    "body-incomplete": Meaning(400, "The body is not complete", "It ended before its Content-Length."),
    "duplicate-key": Meaning(400, "A key occurs twice", "One object has the same key twice. Keep one."),
    "wrong-media-type": Meaning(415, "The body is not marked as JSON", _WHAT_TO_SEND),
    "encoded": Meaning(415, "The body is compressed", "Send it as it is; only answers may be compressed."),
    "length-required": Meaning(411, "A length is required", _WHAT_TO_SEND),
    "body-too-large": Meaning(413, "The body is too large", "Send fewer builds in one call."),
    "no-token": Meaning(401, "A token is needed", "Send `Authorization: Bearer ...`."),
    "unknown-token": Meaning(401, "The token is not known", "Ask whoever runs the service for a new one."),
    "scope": Meaning(403, "The token is not for this", "Use one with the scope that is named."),
    "local-only": Meaning(
        403,
        "Only callers on the same machine",
        "Without tokens the service answers nobody else. Whoever runs it can start it with TOKENS.",
    ),
    "cross-site": Meaning(
        403, "The form came from somewhere else", "Open the page of this service and send it from there."
    ),
    "no-pdf": Meaning(501, "PDFs are not installed", "Print the page, or have the extra `pdf` installed."),
    "not-installed": Meaning(
        501, "A part of the service is not installed", "Whoever runs it can install the extra that is named."
    ),
    "not-found": Meaning(
        404, "Nothing found at this address", "`suggestion` is the nearest name, if there is one."
    ),
    "method-not-allowed": Meaning(405, "Method not allowed", "The header Allow lists those that are."),
    "http-error": Meaning(400, "The request failed", "The status says how."),
    "internal": Meaning(
        500,
        "The service failed",
        "The fault is on its side. Report the `trace_id`, under which it was logged.",
    ),
    "busy": Meaning(
        503,
        "Too busy for this call at the moment",
        "Repeat it after Retry-After, or ask for less in one call.",
    ),
    "too-many-requests": Meaning(429, "Too many requests", "Wait as long as Retry-After says."),
    "malformed-request": Meaning(400, "The request is not HTTP", "Look at what the client sends."),
    "address-too-long": Meaning(414, "The address is too long", "What is asked belongs in the body."),
    "headers-too-large": Meaning(431, "The headers are too large", "No call needs long ones."),
    "expectation": Meaning(417, "Expectation failed", "Leave the header Expect out."),
    "not-implemented": Meaning(
        501, "Not implemented", "Send the body with a Content-Length, or chunked to the gateway."
    ),
    "no-answer": Meaning(502, "The service gave no answer", "Repeat the call; every call is safe to repeat."),
    "unavailable": Meaning(503, "The service is not ready", "Repeat the call after Retry-After."),
    "too-slow": Meaning(504, "The service took too long", "Ask for less at once."),
    "http-version": Meaning(505, "HTTP version not supported", "Use HTTP/1.1."),
    "gateway": Meaning(
        500, "The request failed", "The gateway could not pass it on; whoever runs it can see why."
    ),
}

FAULTS = {
    "missing": "A field that the request needs is not there.",
    "unknown-key": "There is no field of that name here.",
    "wrong-type": "The value is of another kind, such as a list where a text fits.",
    "wrong-shape": "The object does not hold what a number with its unit holds.",
    "unknown-word": "The word is none of those that fit here.",
    "out-of-range": "The number can't be right for this field.",
    "unit-missing": "The number needs a unit.",
    "unknown-unit": "The unit is not one that is known.",
    "wrong-unit": "The unit belongs to another kind of quantity.",
    "wrong-reading": "Gauge or absolute is given where only the other one fits.",
    "no-number": "The text holds no number.",
    "two-numbers": "The text holds more than one number, and one fits.",
    "not-finite": "The number is infinite or not a number.",
    "not-ascii-digits": "The digits are not 0 to 9.",
    "decimal-comma": "A comma could part thousands or decimals.",
    "range": "A range is given where one number fits.",
    "open-ended": "A bound is given, such as `over 400`, where one number fits.",
    "tolerance": "This field takes no tolerance, or it cannot be read.",
    "unreadable": "The text cannot be read as a number with its unit.",
    "too-long": "The text is longer than any value has to be.",
    "too-few": "There are fewer entries than it takes.",
    "too-many": "There are more entries than may be.",
    "unequal": "Lists that go together have to be of one length.",
    "incomplete": "A list that belongs to the field is not there.",
    "contradiction": "Two fields say the same thing, or things that cannot both hold.",
    "not-a-curve": "The points make no curve: one occurs twice, or it turns where it must not.",
    "not-comparable": "The two sides cannot be set against each other.",
    "place-missing": "Say whether it is at the crank or at the wheels.",
    "places-mixed": "Some figures are at the crank, others at the wheels.",
    "not-movable": "The input is no number that can be moved.",
    "no-candidate": "The catalog has no part for the slot that may be chosen.",
    "no-catalog": "Parts are named, and no catalog is loaded.",
    "unknown-part": "The catalog has no part of that number in the slot.",
    "wrong-slot": "The part belongs in another slot.",
    "repeated": "A query word is given more than once.",
    "stale-page": "The page token belongs to another list, or the list has changed. Begin again without it.",
}
