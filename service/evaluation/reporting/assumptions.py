"""What was taken because it was not given, with its range and how far it may be trusted."""

from service.evaluation.planning.plan import Plan
from service.evaluation.planning.resolve import Lean
from service.evaluation.reporting.entry import source_of
from service.evaluation.reporting.sentences import Writer
from service.json_object import JsonObject


class AssumptionLists(dict[tuple[str, bool], list[JsonObject]]):
    """The assumptions of one plan by system of units and detail; filled by AssumptionWriter.of_plan alone."""


class AssumptionWriter:
    """Writes the assumptions of one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.writer = writer

    def of_plan(self, plan: Plan, system: str, full: bool) -> list[JsonObject]:
        """Those of a plan, made once."""
        lists = plan.kept.once(AssumptionLists, AssumptionLists)
        if (system, full) not in lists:
            lists[system, full] = self.listed(plan.leans, system, full)
        return lists[system, full]

    def listed(self, leans: list[Lean], system: str, full: bool) -> list[JsonObject]:
        """Each assumption with its text and source."""
        return [
            self._table_row(lean, full) if lean.table else self._row(lean, system, full) for lean in leans
        ]

    def _table_row(self, lean: Lean, full: bool) -> JsonObject:
        table = self.rulebook.tables[lean.table or ""]
        row = table.rows["unknown"]
        source = source_of(self.rulebook, row.source, full)
        return {"input": lean.input, "label": table.label, "text": row.label, "source": source}

    def _row(self, lean: Lean, system: str, full: bool) -> JsonObject:
        assumption, row = self.rulebook.assumptions[lean.id], lean.certain_row
        shower = self.writer.shower_of(f"assumed__{assumption.name}", system)
        entry: JsonObject = {
            "input": lean.input or assumption.name,
            "label": assumption.label,
            "text": shower.text(row.typical),
            "between": f"{shower.text(row.low)} and {shower.text(row.high)}",
        }
        if full:
            entry["value"] = shower.measure(row.typical)
            entry["range"] = {"low": shower.measure(row.low), "high": shower.measure(row.high)}
        return entry | {"source": source_of(self.rulebook, row.source, full)}
