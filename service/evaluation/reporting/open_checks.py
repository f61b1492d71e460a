"""What was not judged: counted, the nearest to being judged named; at full all, with what each lacks."""

from dataclasses import dataclass

from service.evaluation.judging.judged_run import JudgedRun
from service.evaluation.planning.plan import NotApplicable, NotChecked, Plan
from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook

# At summary: more are noise to whoever reads them.
CHECKS_NAMED = 12


@dataclass(frozen=True, slots=True)
class NotJudgedLists:
    """What a plan does not judge, in words."""

    open: JsonObject
    not_applicable: JsonObject


class NotJudgedByNeeds(dict[bool, NotJudgedLists]):
    """The words of one plan, with needs and without; filled by OpenWriter.words alone."""


class OpenWriter:
    """Tells what one rulebook could not judge."""

    def __init__(self, rulebook: Rulebook):
        self.rulebook = rulebook

    def of_plan(self, plan: Plan, needs: bool) -> JsonObject:
        """What a plan does not judge, whatever the numbers are."""
        judged = {check_plan.check.id for check_plan in plan.checks}
        return self._open([entry for entry in plan.not_checked if entry.check not in judged], needs, {})

    def words(self, plan: Plan, judged: JudgedRun, needs: bool) -> NotJudgedLists:
        """In words once a plan, unless this run moved a check there."""
        if judged.not_checked is plan.not_checked and judged.not_applicable is plan.not_applicable:
            kept = plan.kept.once(NotJudgedByNeeds, NotJudgedByNeeds)
            if needs not in kept:
                kept[needs] = self._words(judged, needs)
            return kept[needs]
        return self._words(judged, needs)

    def _words(self, judged: JudgedRun, needs: bool) -> NotJudgedLists:
        # A check judged at some of its points says so in its own entry.
        judged_ids = {check.id for check in judged.judged}
        open_checks = [entry for entry in judged.not_checked if entry.check not in judged_ids]
        not_applicable: JsonObject = {"count": len(judged.not_applicable)}
        if needs:
            not_applicable["checks"] = [entry.check for entry in judged.not_applicable]
            not_applicable["reasons"] = [_reason(entry) for entry in judged.not_applicable]
        return NotJudgedLists(self._open(open_checks, needs, judged.failed_steps), not_applicable)

    def _open(self, entries: list[NotChecked], needs: bool, failed_steps: dict[str, int]) -> JsonObject:
        words: JsonObject = {"count": len(entries)}
        if needs:
            words["checks"] = [entry.check for entry in entries]
            words["needs"] = [self._needs(entry, failed_steps) for entry in entries]
        else:
            nearest = sorted(entries, key=lambda entry: (not entry.needs, len(entry.needs)))
            words["checks"] = [entry.check for entry in nearest[:CHECKS_NAMED]]
        return words

    def _needs(self, entry: NotChecked, failed_steps: dict[str, int]) -> JsonObject:
        words: JsonObject = {"check": entry.check, "needs": [list(group) for group in entry.needs]}
        if entry.scope:
            words["reason"] = entry.scope.text
        if entry.check in failed_steps:
            slot = failed_steps[entry.check]
            node = next(node for node in self.rulebook.graph.nodes.values() if node.slot == slot)
            words["reason"] = (
                f"{node.quantity.label} can't be calculated from these numbers: "
                "they lie outside the range its formula or curve is good for."
            )
        return words


def _reason(entry: NotApplicable) -> JsonObject:
    return {"check": entry.check, "reason": entry.reason}
