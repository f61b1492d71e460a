"""The working of one check as text: each formula, with its numbers put in, and its source."""

from textwrap import fill
from typing import Any


def working_lines(answer: dict[str, Any], check: str, width: int) -> list[str]:
    """The steps of one check, and its cautions."""
    entry = next((entry for entry in answer["checks"] if entry["check"] == check), None)
    if entry is None:
        return ["", f"{check} was not judged, so there is no working."]
    lines = ["", f"Working of {check}:"]
    for step in entry["working"]:
        lines.append(f"  {step['label']}")
        if step["with_numbers"] != step["text"]:
            lines += [f"      = {step['formula']}", f"      = {step['with_numbers']}"]
        lines.append(f"      = {step['text']}    [{step['source']['kind']}: {step['source']['citation']}]")
    return lines + [
        fill(caution, width, initial_indent="  Caution: ", subsequent_indent="  ")
        for caution in entry.get("cautions", [])
    ]
