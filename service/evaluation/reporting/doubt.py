"""A spread in a reply: its range, and one sentence on what the verdict depends on."""

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.sentences import Writer, lower
from service.json_object import JsonObject


def range_words(shower: Shower, low: float, high: float) -> JsonObject:
    """A range in a reply."""
    ends = shower.measure(low), shower.measure(high)
    values = {"low": ends[0]["value"], "high": ends[1]["value"], "unit": shower.unit}
    return values | {"text": shower.between(low, high)}


def doubt(shower: Shower, spread: Spread | None, verdict: str, settle_by: list[str]) -> JsonObject:
    """The words `range`, `could_be` and `settle_by` of a check."""
    words: JsonObject = {}
    if spread and spread.low < spread.high:
        words["range"] = range_words(shower, spread.low, spread.high)
    words["could_be"] = list(spread.could_be) if spread else [verdict]
    if settle_by:
        words["settle_by"] = settle_by
    return words


class DoubtWriter:
    """Says what verdicts of one rulebook depend on."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def cause(self, spread: Spread | None, unsized: list[str], plan: Plan, system: str) -> str:
        """What could turn a verdict, most of all: 'the rail pressure'; nothing where nothing could.

        `unsized`: unknown choices whose effect has no two ends. Of an input that was given nothing more can
        be asked; what is left open is a figure behind it, told with its range: 'the density of the fluid,
        0.72 to 0.775 kg/L'.
        """
        if spread is None or len(spread.could_be) < 2:
            return ""
        path, assumption = next(iter(spread.shares), None), next(iter(spread.stated), None)
        if assumption and (path is None or spread.stated[assumption] > spread.shares[path]):
            return self._figure_behind(assumption, plan, system)
        path = path or next(iter(unsized), None)
        return f"the {lower(self.rulebook.inputs[path].label)}" if path else ""

    def _figure_behind(self, assumption: str, plan: Plan, system: str) -> str:
        row = plan.resolution.leans[assumption].certain_row
        shower = self.writer.shower_of(f"assumed__{assumption}", system)
        label = self.rulebook.assumptions[assumption].label
        return f"the {lower(label)}, {shower.between(row.low, row.high)}"

    def sentence(self, shower: Shower | None, spread: Spread | None, plan: Plan, system: str) -> str:
        """What the verdict depends on, where it could be another one; else nothing.

        `shower`: of the value that the sentence before has told; None where it has told none.
        """
        if spread is None or len(spread.could_be) < 2:
            return ""
        cause = self.cause(spread, [], plan, system)
        mostly = "mostly " if len(spread.shares) + len(spread.stated) > 1 else ""
        start = f"Depending {mostly}on {cause}," if cause else "Within the tolerance given,"
        if shower and shower.text(spread.low) != shower.text(spread.high):
            span = shower.between(spread.low, spread.high)
            return f"{start} it could be anywhere from {span}: {_either(spread.could_be)}."
        return f"{start} it could {_either(spread.could_be)}."


def _either(verdicts: tuple[str, ...]) -> str:
    return " or ".join(verdicts) if len(verdicts) < 3 else f"{', '.join(verdicts[:-1])} or {verdicts[-1]}"
