"""Post a request to a running service and print the verdict a person can read."""

import urllib.error
import urllib.request
from pathlib import Path
from textwrap import fill
from typing import Any

import orjson

from service.commands.request_file import read_call
from service.commands.show_selection import render_selection
from service.errors import ServiceError

WIDTH = 118


def show(path: Path, url: str, working: str | None, token_file: Path | None = None) -> int:
    """Post the request in a file and print the answer for people, with the working of one check if asked."""
    place, asked = read_call(path)
    if place == "/v1/evaluations":
        asked |= {"detail": "full"}
    token = {"Authorization": f"Bearer {token_file.read_text().strip()}"} if token_file else {}
    request = urllib.request.Request(
        f"{url}{place}", orjson.dumps(asked), {"Content-Type": "application/json"} | token
    )
    try:
        with urllib.request.urlopen(request, timeout=30) as response:
            answer = orjson.loads(response.read())
    except urllib.error.HTTPError as error:
        raise ServiceError(error.read().decode()) from error
    except urllib.error.URLError as error:
        raise ServiceError(f"{url} does not answer: {error.reason}.") from error
    if "sets" in answer:
        print(render_selection(answer))
    elif "headline" in answer:
        print(render(answer, working))
    else:
        print(orjson.dumps(answer, option=orjson.OPT_INDENT_2).decode())
    return 0


def render(answer: dict[str, Any], working: str | None) -> str:
    """The answer as text."""
    lines = [fill(f"{answer['verdict'].upper()}  {answer['headline']}", WIDTH), ""]
    lines += _table(answer)
    lines += _not_judged(answer)
    if answer["assumptions"]:
        lines += ["", "Taken because it was not said:"]
        lines += [f"  {_assumed(assumption)}" for assumption in answer["assumptions"]]
    if answer.get("questions"):
        lines += ["", "To ask next:"] + [f"  {question['ask']}" for question in answer["questions"][:5]]
    if working:
        lines += _working(answer, working)
    lines += [
        "",
        fill("A pass says that nothing was found in the numbers given, not that an engine is safe.", WIDTH),
        f"Rulebook {answer['rulebook']['digest'][:19]}, service {answer['service']}",
    ]
    return "\n".join(lines)


def _table(answer: dict[str, Any]) -> list[str]:
    rows = [("verdict", "check", "value", "limit")]
    order = {"fail": 0, "warn": 1, "pass": 2}
    entries = sorted(answer["checks"], key=lambda entry: order[entry["verdict"]])
    for entry in entries:
        limit = entry.get("limit")
        bound = f"{'at most' if limit['side'] == 'above' else 'at least'} {limit['text']}" if limit else ""
        value = entry["value"]["text"] if "value" in entry else ""
        rows.append((entry["verdict"], entry["title"], value, bound))
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(rows[0], widths, strict=True)).rstrip(),
        "  ".join("-" * width for width in widths),
    ]
    for row, entry in zip(rows[1:], entries, strict=True):
        lines.append("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
        lines.append(
            fill(entry["explanation"], WIDTH, initial_indent="         ", subsequent_indent="         ")
        )
    return lines


def _not_judged(answer: dict[str, Any]) -> list[str]:
    if not answer["not_checked"]:
        return []
    lines = ["", "Not judged:"]
    for entry in answer["not_checked"]:
        needs = "; ".join(" or ".join(group) for group in entry["needs"])
        reason = f"needs {needs}" if needs else entry.get("reason", "no input would settle it")
        lines.append(
            fill(f"{entry['check']}: {reason}", WIDTH, initial_indent="  ", subsequent_indent="    ")
        )
    return lines


def _assumed(assumption: dict[str, Any]) -> str:
    between = f" (between {assumption['between']})" if "between" in assumption else ""
    return f"{assumption['label']}: {assumption['text']}{between} - {assumption['source']['kind']}"


def _working(answer: dict[str, Any], check: str) -> list[str]:
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
        fill(caution, WIDTH, initial_indent="  Caution: ", subsequent_indent="  ")
        for caution in entry.get("cautions", [])
    ]
