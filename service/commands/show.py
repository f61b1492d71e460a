"""Post a request to a running service and print the verdict a person can read."""

import urllib.error
import urllib.request
from pathlib import Path
from textwrap import fill

import orjson

from service.commands.request_file import read_call
from service.commands.show_selection import render_selection
from service.errors import ServiceError

WIDTH = 118


def show(path: Path, url: str, working: str | None, token_file: Path | None = None) -> int:
    """Post the request in a file over HTTP and print the answer for people; of an evaluation also the working of one check."""
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
    print(
        render_selection(answer)
        if "sets" in answer
        else render(answer, working)
        if "headline" in answer
        else orjson.dumps(answer, option=orjson.OPT_INDENT_2).decode()
    )
    return 0


def render(answer: dict, working: str | None) -> str:
    """The answer as text."""
    lines = [fill(f"{answer['verdict'].upper()}  {answer['headline']}", WIDTH), ""]
    lines += _table(answer)
    lines += _not_judged(answer)
    lines += (
        [""] + ["Taken because it was not said:"] + [f"  {_assumed(one)}" for one in answer["assumptions"]]
        if answer["assumptions"]
        else []
    )
    if answer.get("questions"):
        lines += ["", "To ask next:"] + [f"  {one['ask']}" for one in answer["questions"][:5]]
    if working:
        lines += _working(answer, working)
    lines += [
        "",
        fill("A pass says that nothing was found in the numbers given, not that an engine is safe.", WIDTH),
        f"Rulebook {answer['rulebook']['digest'][:19]}, service {answer['service']}",
    ]
    return "\n".join(lines)


def _table(answer: dict) -> list[str]:
    rows = [("verdict", "check", "value", "limit")]
    order = {"fail": 0, "warn": 1, "pass": 2}
    checks = sorted(answer["checks"], key=lambda one: order[one["verdict"]])
    for one in checks:
        limit = one.get("limit")
        bound = f"{'at most' if limit['side'] == 'above' else 'at least'} {limit['text']}" if limit else ""
        rows.append((one["verdict"], one["title"], one["value"]["text"] if "value" in one else "", bound))
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(rows[0], widths)).rstrip(),
        "  ".join("-" * width for width in widths),
    ]
    for row, one in zip(rows[1:], checks):
        lines.append("  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip())
        lines.append(
            fill(one["explanation"], WIDTH, initial_indent="         ", subsequent_indent="         ")
        )
    return lines


def _not_judged(answer: dict) -> list[str]:
    if not answer["not_checked"]:
        return []
    lines = ["", "Not judged:"]
    for one in answer["not_checked"]:
        needs = "; ".join(" or ".join(group) for group in one["needs"])
        said = f"needs {needs}" if needs else one.get("reason", "no input would settle it")
        lines.append(fill(f"{one['check']}: {said}", WIDTH, initial_indent="  ", subsequent_indent="    "))
    return lines


def _assumed(one: dict) -> str:
    between = f" (between {one['between']})" if "between" in one else ""
    return f"{one['label']}: {one['text']}{between} - {one['source']['kind']}"


def _working(answer: dict, check: str) -> list[str]:
    entry = next((one for one in answer["checks"] if one["check"] == check), None)
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
