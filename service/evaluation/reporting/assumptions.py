"""What was assumed because it was not given, with its range and how far it may be trusted."""

from collections.abc import Iterable

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.resolve import Lean
from service.evaluation.reporting.entry import source_of
from service.evaluation.reporting.sentences import Writer, lower
from service.json_object import JsonObject

# An assumption behind less than this part of a doubt decides nothing (house choice).
PART_THAT_DECIDES = 0.05


class AssumptionWords(dict[tuple[str, str, bool], JsonObject]):
    """The assumptions of one plan by id, system of units and detail; filled by AssumptionWriter alone."""


class AssumptionWriter:
    """Writes the assumptions of one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def of_plan(self, plan: Plan, leans: Iterable[Lean], system: str, full: bool) -> list[JsonObject]:
        """Those of a plan in words, each made once."""
        kept = plan.kept.once(AssumptionWords, AssumptionWords)
        listed = []
        for lean in leans:
            key = (lean.id, system, full)
            if key not in kept:
                kept[key] = self._words(lean, system, full)
            listed.append(kept[key])
        return listed

    def listed(self, leans: Iterable[Lean], system: str, full: bool) -> list[JsonObject]:
        """Each assumption with its text and source."""
        return [self._words(lean, system, full) for lean in leans]

    def phrase(self, lean: Lean, system: str) -> str:
        """One assumption inside a sentence: 'a charge cooler fitted', 'a fuel consumption of 0.6 lb/hp/h'."""
        words = self._words(lean, system, full=False)
        return f"{lower(words['label'])} {words['text']}"

    def _words(self, lean: Lean, system: str, full: bool) -> JsonObject:
        return self._table_row(lean, full) if lean.table else self._row(lean, system, full)

    def _table_row(self, lean: Lean, full: bool) -> JsonObject:
        table = self.rulebook.tables[lean.table or ""]
        row = table.rows["unknown"]
        source = source_of(self.rulebook, row.source, full)
        return {"input": lean.input, "label": table.label, "text": row.label, "source": source}

    def _row(self, lean: Lean, system: str, full: bool) -> JsonObject:
        assumption, row = self.rulebook.assumptions[lean.id], lean.certain_row
        entry: JsonObject = {"input": lean.input or assumption.name, "label": assumption.label}
        source = source_of(self.rulebook, row.source, full)
        if assumption.says:
            return entry | {"text": assumption.says[round(row.typical)], "source": source}
        shower = self.writer.shower_of(f"assumed__{assumption.name}", system)
        entry["text"] = shower.text(row.typical)
        if row.low < row.high:
            entry["between"] = f"{shower.text(row.low)} and {shower.text(row.high)}"
        if full:
            entry["value"] = shower.measure(row.typical)
            entry["range"] = {"low": shower.measure(row.low), "high": shower.measure(row.high)}
        return entry | {"source": source}


def deciding(plan: Plan, spreads: dict[str, Spread], checks: list[CheckPlan]) -> list[Lean]:
    """The assumptions that could turn a verdict: those behind a doubt, and table rows without two ends."""
    behind: set[str] = set()
    for spread in spreads.values():
        if len(spread.could_be) > 1:
            parts = (*spread.shares.items(), *spread.stated.items())
            behind.update(name for name, share in parts if share >= PART_THAT_DECIDES)
    for check_plan in checks:
        behind.update(id for id in check_plan.leaning if plan.resolution.leans[id].table)
    return [lean for lean in plan.leans if lean.id in behind or (lean.input in behind and not lean.stated)]
