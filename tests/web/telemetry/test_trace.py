"""W3C Trace Context, section 3.2: which traceparent headers count, and what is done with the others."""

import re

import pytest

from service.web.telemetry.trace import trace_id

# The examples of the recommendation.
TRACE, PARENT = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
VALID = {
    "sampled": f"00-{TRACE}-{PARENT}-01",
    "not sampled": f"00-{TRACE}-{PARENT}-00",
    "unknown flags": f"00-{TRACE}-{PARENT}-ff",
    "a later version": f"cc-{TRACE}-{PARENT}-01",
    "a later version with more": f"cc-{TRACE}-{PARENT}-01-what-the-future-will-be-like",
}
INVALID = {
    "nothing": None,
    "empty": "",
    "version ff": f"ff-{TRACE}-{PARENT}-01",
    "no trace": f"00-{'0' * 32}-{PARENT}-01",
    "no parent": f"00-{TRACE}-{'0' * 16}-01",
    "capitals": f"00-{TRACE.upper()}-{PARENT}-01",
    "version 00 with more": f"00-{TRACE}-{PARENT}-01-more",
    "a later version without its hyphen": f"cc-{TRACE}-{PARENT}-01.more",
    "short trace": f"00-{TRACE[:-1]}-{PARENT}-01",
    "short version": f"0-{TRACE}-{PARENT}-01",
    "space": f" 00-{TRACE}-{PARENT}-01",
    "line break": f"00-{TRACE}-{PARENT}-01\n",
    "full-width digits": f"00-{TRACE[:-1]}６-{PARENT}-01",
    "long": f"cc-{TRACE}-{PARENT}-01-" + "a" * 10_000,
}


@pytest.mark.parametrize("header", VALID.values(), ids=VALID)
def test_the_trace_of_the_caller(header):
    assert trace_id(header) == TRACE


@pytest.mark.parametrize("header", INVALID.values(), ids=INVALID)
def test_a_trace_of_its_own(header):
    made = trace_id(header)
    assert re.fullmatch("[0-9a-f]{32}", made) and made != TRACE and int(made, 16)
    assert made != trace_id(header)
