"""Answers as text for a person: what matters on one screen, the rest on request."""

from textwrap import fill
from typing import Any

from service.commands.colour import Paint
from service.commands.working_text import working_lines

WIDTH = 100
Answer = dict[str, Any]
# What stops a build; more are counted.
STOPS_SHOWN = 3
ORDERS_SHOWN = 6


def render(answer: Answer, paint: Paint, whole: bool = False, working: str | None = None) -> str:
    """The answer of any call: the headline, what stops it, what fixes it, what it comes to, what to ask."""
    lines = [_headline(answer, paint)]
    for text in _scope_and_contradictions(answer):
        lines += ["", _wrapped(text)]
    lines += _stops(answer, paint, whole)
    lines += _limits(answer, paint)
    lines += _requirements(answer, paint, whole)
    lines += _fixes(answer, paint)
    lines += _sets(answer, paint, whole)
    lines += _figures(answer, paint)
    lines += _listed("Ask next", [question["ask"] for question in answer.get("questions", ())], paint)
    lines += _rest(answer, paint, whole)
    if working:
        lines += working_lines(answer, working, WIDTH)
    if "verdict" in answer:
        lines += [
            "",
            _wrapped("A pass means nothing was found in the numbers given, not that an engine is safe."),
        ]
    return "\n".join([*lines, "", paint.faint(_made_by(answer))])


def _headline(answer: Answer, paint: Paint) -> str:
    # A sweep has a list of them.
    verdict = answer["verdict"] if isinstance(answer.get("verdict"), str) else ""
    word = verdict.replace("_", " ").upper()
    text = fill(f"{word}  {answer['headline']}" if word else answer["headline"], WIDTH)
    return paint.verdict(verdict, text) if verdict else paint.strong(text)


def _scope_and_contradictions(answer: Answer) -> list[str]:
    """What the headline had no room for."""
    texts = [entry["text"] for entry in answer.get("scope", ())]
    for entry in answer.get("contradictions", ()):
        texts.append(" ".join(filter(None, [entry["text"], entry.get("reading")])))
    return [text for text in texts if text not in answer["headline"]]


def _stops(answer: Answer, paint: Paint, whole: bool) -> list[str]:
    """What fails and warns, worst first; with `whole` every check."""
    checks = [entry for entry in answer.get("checks", ()) if isinstance(entry.get("verdict"), str)]
    trouble = [entry for entry in checks if entry["verdict"] != "pass"]
    shown = checks if whole else trouble[:STOPS_SHOWN]
    if not shown:
        return []
    lines = ["", paint.strong("What stops it" if trouble and not whole else "Checks")]
    for entry in shown:
        lines += _entry(entry, paint)
    if len(trouble) > len(shown):
        lines.append(f"  ... and {len(trouble) - len(shown)} more (--all)")
    return lines


def _entry(entry: Answer, paint: Paint) -> list[str]:
    verdict = paint.verdict(entry["verdict"], entry["verdict"].ljust(5))
    text = entry.get("explanation") or entry.get("text", "")
    measured = ""
    if "limit" in entry and "value" in entry:
        side = "at most" if entry["limit"]["side"] == "above" else "at least"
        measured = f" ({entry['value']['text']}; {side} {entry['limit']['text']})"
    name = entry.get("title", entry["check"])
    body = fill(text, WIDTH, initial_indent="         ", subsequent_indent="         ")
    return [f"  {verdict}  {name}{measured}", body]


def _limits(answer: Answer, paint: Paint) -> list[str]:
    limits = answer.get("limits", ())
    if not limits:
        return []
    return ["", paint.strong("How far it goes")] + [
        _wrapped(f"{limit['label']}: {limit['text']}", 2) for limit in limits
    ]


def _requirements(answer: Answer, paint: Paint, whole: bool) -> list[str]:
    """What to order; without `whole` what the build has and does not hold, else the first of the list."""
    listed = answer.get("requirements", ())
    if not listed:
        return []
    outgrown = [entry for entry in listed if entry.get("verdict") in ("fail", "warn")]
    shown = listed if whole else (outgrown or listed[:ORDERS_SHOWN])
    lines = ["", paint.strong("What to order")]
    for entry in shown:
        lines.append(_wrapped(f"{entry['label']}: {entry['text']}", 2))
        lines += [_wrapped(part["text"], 6) for part in entry.get("parts", ())[: None if whole else 1]]
    if len(listed) > len(shown):
        lines.append(f"  ... and {len(listed) - len(shown)} more sizes (--all)")
    return lines


def _fixes(answer: Answer, paint: Paint) -> list[str]:
    """The plan for the whole, else single changes."""
    plan = answer.get("plan")
    if plan:
        return ["", paint.strong("To fix it"), _wrapped(plan["text"], 2)]
    remedies = [remedy["text"] for entry in answer.get("checks", ()) for remedy in entry.get("remedies", ())]
    return _listed("To fix it", list(dict.fromkeys(remedies))[:STOPS_SHOWN], paint)


def _sets(answer: Answer, paint: Paint, whole: bool) -> list[str]:
    """The sets of parts of a selection; without `whole` the best."""
    if "sets" not in answer:
        return []
    lines: list[str] = []
    for rank, part_set in enumerate(answer["sets"] if whole else answer["sets"][:1], start=1):
        lines += ["", paint.strong(f"Set {rank}: {part_set['price_text']}, {part_set['verdict']}")]
        lines.append(_wrapped(part_set["text"], 2))
        lines += [
            f"  {slot.replace('_', ' '):26}{number:14}{_title(answer, slot, number)}"
            for slot, number in part_set["parts"].items()
        ]
    if "conflict" in answer:
        lines += ["", _wrapped(answer["conflict"]["text"])]
    if len(answer["sets"]) > 1 and not whole:
        lines.append(f"  ... and {len(answer['sets']) - 1} more sets (--all)")
    return lines


def _title(answer: Answer, slot: str, number: str) -> str:
    parts = next(entry["parts"] for entry in answer["slots"] if entry["slot"] == slot)
    return str(next(part["title"] for part in parts if part["number"] == number))


def _figures(answer: Answer, paint: Paint) -> list[str]:
    figures = answer.get("figures", ())
    if not figures:
        return []
    rows = [(figure["label"], figure["text"], figure.get("range", {}).get("text", "")) for figure in figures]
    width = max(len(label) for label, _, _ in rows)
    return ["", paint.strong("What it comes to")] + [
        f"  {label.ljust(width)}  {text}{f'  ({span})' if span else ''}" for label, text, span in rows
    ]


def _rest(answer: Answer, paint: Paint, whole: bool) -> list[str]:
    """What was assumed and what was not looked at: counted, with `whole` listed."""
    assumptions, open_checks = answer.get("assumptions", ()), answer.get("open", {})
    if whole:
        assumed = [
            f"{entry['label']}: {entry['text']}" + (f" ({entry['between']})" if "between" in entry else "")
            for entry in assumptions
        ]
        lines = _listed("Assumed, because you didn't say", assumed, paint)
        return lines + _listed("Not judged", _needs(open_checks), paint)
    more = len(assumptions) + answer.get("more_assumptions", 0)
    told = [f"{more} assumption{'' if more == 1 else 's'} made"] if more else []
    if open_checks.get("count"):
        told.append(f"{open_checks['count']} more checks need more facts")
    return ["", f"{'; '.join(told)} (--all)."] if told else []


def _needs(open_checks: Answer) -> list[str]:
    lines = []
    for entry in open_checks.get("needs", ()):
        needs = "; ".join(" or ".join(group) for group in entry["needs"])
        lines.append(
            f"{entry['check']}: "
            + (f"needs {needs}" if needs else entry.get("reason", "nothing would answer it"))
        )
    return lines


def _listed(title: str, texts: list[str], paint: Paint) -> list[str]:
    return ["", paint.strong(title)] + [_wrapped(text, 2) for text in texts] if texts else []


def _wrapped(text: str, indent: int = 0) -> str:
    return fill(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2 if indent else 0)
    )


def _made_by(answer: Answer) -> str:
    catalog = f", catalog {answer['catalog']['version']}" if "catalog" in answer else ""
    rulebook = answer.get("rulebook", {}).get("digest", "")[:19]
    return f"Rulebook {rulebook}, service {answer.get('service', '')}{catalog}"
