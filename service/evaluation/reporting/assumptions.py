"""What was assumed because it was not given, with its range and how far it may be trusted."""

from collections.abc import Iterable

from service.evaluation.judging.spread import Spread
from service.evaluation.planning.check_plan import CheckPlan
from service.evaluation.planning.lean import Lean
from service.evaluation.planning.plan import Plan
from service.evaluation.reporting.entry import source_of
from service.evaluation.reporting.sentences import Writer, lower
from service.json_object import JsonObject

# An assumption behind less than this part of a doubt decides nothing (house choice).
PART_THAT_DECIDES = 0.05
# Nobody knows how much of a doubt a row without ends is.
TABLE_ROW = 1e3


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
        words: JsonObject = {"input": lean.input, "label": table.label, "text": row.label}
        return words | self._source(row.source, full)

    def _row(self, lean: Lean, system: str, full: bool) -> JsonObject:
        assumption, row = self.rulebook.assumptions[lean.id], lean.certain_row
        entry: JsonObject = {"input": lean.input or assumption.name, "label": assumption.label}
        if assumption.says:
            entry["text"] = assumption.says[round(row.typical)]
            return entry | self._source(row.source, full)
        shower = self.writer.shower_of(f"assumed__{assumption.name}", system)
        entry["text"] = shower.text(row.typical)
        if row.low < row.high:
            entry["between"] = shower.between(row.low, row.high)
        if full:
            entry["value"] = shower.measure(row.typical)
            entry["range"] = {"low": shower.measure(row.low), "high": shower.measure(row.high)}
        return entry | self._source(row.source, full)

    def _source(self, id: str, full: bool) -> JsonObject:
        """How far it may be trusted, for those who ask."""
        return {"source": source_of(self.rulebook, id, full)} if full else {}


def deciding(plan: Plan, spreads: dict[str, Spread], checks: list[CheckPlan]) -> list[Lean]:
    """The assumptions that could turn a verdict, those behind most of the doubt first: those with two ends by
    their parts of it, and table rows, which have none, before them.
    """
    behind: dict[str, float] = {}
    for spread in spreads.values():
        if len(spread.could_be) > 1:
            for name, share in (*spread.shares.items(), *spread.stated.items()):
                behind[name] = behind.get(name, 0.0) + share
    for check_plan in checks:
        behind.update({id: TABLE_ROW for id in check_plan.leaning if plan.resolution.leans[id].table})

    def part(lean: Lean) -> float:
        return behind.get(lean.id, 0.0 if lean.stated else behind.get(lean.input or "", 0.0))

    leans = [lean for lean in plan.leans if part(lean) >= PART_THAT_DECIDES]
    return sorted(leans, key=lambda lean: -part(lean))
