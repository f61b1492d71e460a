"""A problem in words: what is wrong where, what was expected, what might be meant."""

from collections.abc import Mapping
from typing import Any


def refusal_text(problem: Mapping[str, Any]) -> str:
    """The detail of a problem and a line for each fault."""
    lines = [problem["detail"]]
    for fault in problem.get("errors", ()):
        expected = f" Expected: {fault['expected']}." if "expected" in fault else ""
        lines.append(f"  {fault['pointer']}: {fault['detail']}{expected}{_meant(fault)}")
    return "\n".join(lines)


def _meant(fault: Mapping[str, Any]) -> str:
    meant = fault.get("options") or [fault[key] for key in ("suggestion",) if fault.get(key)]
    return f" Did you mean {' or '.join(meant)}?" if meant else ""
