"""A spread in a reply: its range, and one sentence on what the verdict hangs on."""

from service.evaluation.judging.spread import Spread
from service.evaluation.reporting.display import Shower
from service.rulebook.rulebook import Rulebook

# Nobody asks a customer more than this about one check; all of them come at full.
SETTLED_BY_AT_SUMMARY = 3


def doubt(
    rulebook: Rulebook, shower: Shower, spread: Spread | None, verdict: str, unsized: list[str], full: bool
) -> dict:
    """The words `range`, `could_be` and `settle_by` of a check; `unsized`: unknown choices whose effect has no two ends."""
    made = {}
    if spread and spread.low < spread.high:
        low, high = shower.measure(spread.low), shower.measure(spread.high)
        made["range"] = {
            "low": low["value"],
            "high": high["value"],
            "unit": shower.unit,
            "text": between(shower, spread),
        }
    made["could_be"] = list(spread.could_be) if spread else [verdict]
    settle_by = list(dict.fromkeys([*(spread.shares if spread else ()), *unsized]))
    if settle_by:
        made["settle_by"] = settle_by if full else settle_by[:SETTLED_BY_AT_SUMMARY]
    return made


def doubt_sentence(rulebook: Rulebook, shower: Shower, spread: Spread | None) -> str:
    """What the verdict hangs on, where it could be another one; else nothing."""
    if spread is None or len(spread.could_be) < 2:
        return ""
    first = next(iter(spread.shares), None)
    hangs_on = (
        f"That hangs {'mostly ' if len(spread.shares) > 1 else ''}on the {lower(rulebook.inputs[first].label)}, not stated:"
        if first
        else "That hangs on figures not stated:"
    )
    span = f" {between(shower, spread)}," if shower.text(spread.low) != shower.text(spread.high) else ""
    return f"{hangs_on}{span} so it could {_either(spread.could_be)}."


def between(shower: Shower, spread: Spread) -> str:
    """'74 to 90 %'."""
    low, high = shower.text(spread.low), shower.text(spread.high)
    if shower.unit and low.endswith(f" {shower.unit}"):
        low = low.removesuffix(f" {shower.unit}")
    return f"{low} to {high}"


def lower(label: str) -> str:
    """A label inside a sentence; one that starts with an abbreviation stays."""
    return label if label[:2].isupper() else label[:1].lower() + label[1:]


def _either(verdicts: tuple[str, ...]) -> str:
    return " or ".join(verdicts) if len(verdicts) < 3 else f"{', '.join(verdicts[:-1])} or {verdicts[-1]}"
