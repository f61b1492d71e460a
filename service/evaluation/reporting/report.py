"""The reply: verdicts, explanations, what was assumed, what was not checked, what to ask."""

from service.evaluation.judging.consistency import Finding, findings, usual_ranges
from service.evaluation.judging.judge import SEVERITY, Judgement, judge
from service.evaluation.judging.spread import Moved, Spread
from service.evaluation.known import Known
from service.evaluation.planning.plan import CheckPlan, Plan
from service.evaluation.planning.resolve import Lean
from service.evaluation.reporting.entry import EntryWriter, source_of
from service.evaluation.reporting.headline import headline
from service.evaluation.reporting.questions import questions, two_readings
from service.evaluation.reporting.sentences import Writer
from service.evaluation.reporting.watch import watch
from service.evaluation.running.reruns import Changed
from service.rulebook.rulebook import Rulebook

# More than anybody will ask a customer in one go; all of them come at full.
QUESTIONS_AT_SUMMARY = 8
# With this many checks named the shortest answer stays below 600 bytes.
NAMED_AT_VERDICT = 5


class Reporter:
    """Writes replies for one rulebook."""

    def __init__(self, rulebook: Rulebook, writer: Writer):
        self.rulebook = rulebook
        self.writer = writer
        self.entries = EntryWriter(rulebook, writer)
        self.usual = usual_ranges(rulebook)
        self.two_readings = two_readings(rulebook)
        self.identity = {"version": rulebook.version, "digest": rulebook.digest}

    def report(self, request, known: Known, plan: Plan, values: list, failed: dict[int, int]) -> dict:
        """The whole reply at the detail asked for."""
        not_checked, not_applicable = plan.not_checked, plan.not_applicable
        unworked: dict[str, str] = {}
        judged_by: list[tuple[CheckPlan, Judgement]] = []
        for one in plan.checks:
            made = judge(one, values, failed)
            if isinstance(made, Judgement):
                judged_by.append((one, made))
                continue
            not_checked = [entry for entry in not_checked if entry[0] != one.check.id]
            if made is None:
                not_applicable = [*not_applicable, (one.check.id, one.check.otherwise)]
            else:
                not_checked = [*not_checked, (one.check.id, [])]
                unworked[one.check.id] = self._failed_step(made)
        spreads = self._spreads(known, plan, judged_by, values, failed) if "ranges" in request.include else {}
        checks, first, found = [], {}, []
        for one, made in judged_by:
            entry, first[one.check.id] = self.entries.entry(
                one, made, spreads.get(one.check.id), request, plan, values, failed
            )
            checks.append(entry)
        if plan.consistency:
            found = findings(
                self.rulebook, self.writer, self.usual, plan, known, values, failed, request.units
            )
            entry = self._consistency(plan, found)
            first[plan.consistency.id] = max(
                entry.get("findings", ()),
                key=lambda one: SEVERITY[one["verdict"]],
                default={"text": entry["explanation"]},
            )["text"]
            checks.append(entry)
        checks.sort(key=_severity)
        self._caution_once(checks, request.moment)
        judged = {entry["check"] for entry in checks}
        verdict = self._whole(checks, judged, request)
        reply = {
            "verdict": verdict,
            "complete": not not_checked and not any("not_judged_at" in entry for entry in checks),
            "headline": headline(
                verdict,
                checks,
                {} if request.detail == "verdict" else first,
                not_checked,
                self.rulebook,
                request.require,
                judged,
            ),
        }
        if request.detail == "verdict":
            worst = [entry["check"] for entry in checks if entry["verdict"] == verdict]
            if verdict in ("fail", "warn"):
                reply[verdict] = worst[:NAMED_AT_VERDICT]
        else:
            reply["checks"] = checks
            reply["not_checked"] = self._listed(
                "not_checked", plan, not_checked, lambda id, needs: self._not_checked(id, needs, unworked)
            )
            reply["not_applicable"] = self._listed(
                "not_applicable", plan, not_applicable, lambda id, reason: {"check": id, "reason": reason}
            )
            reply["understood"] = [{"input": path, "text": text} for path, text in known.understood]
            reply["assumptions"] = self._assumptions(plan, request.units, request.detail == "full")
            if "questions" in request.include:
                asked = questions(
                    self.rulebook,
                    plan,
                    self.two_readings.intersection(known.numbers),
                    spreads,
                    [one.ask for one in found if one.ask],
                )
                reply["questions"] = asked if request.detail == "full" else asked[:QUESTIONS_AT_SUMMARY]
            if request.moment:
                reply["watch"] = watch(
                    self.rulebook, self.writer, plan, judged_by, request.moment, request.units, values, failed
                )
        reply["rulebook"] = self.identity
        reply["service"] = self.rulebook.version
        return reply

    def _spreads(
        self,
        known: Known,
        plan: Plan,
        judged: list[tuple[CheckPlan, Judgement]],
        values: list,
        failed: dict[int, int],
    ) -> dict[str, Spread]:
        moved = Moved(plan, known, self.rulebook.graph.slots, Changed(values, failed), judged)
        return {one.check.id: spread for one, made in judged if (spread := moved.spread(one, made))}

    def _caution_once(self, checks: list[dict], moment: str | None) -> None:
        """A caution is printed with the first check that calls for it, worst first; one for other moments not at all."""
        said: set[str] = set()
        for entry in checks:
            if "cautions" in entry:
                cautions = [
                    self.rulebook.cautions[id]
                    for id in entry["cautions"]
                    if id not in said and not said.add(id)
                ]
                entry["cautions"] = [
                    caution.text
                    for caution in cautions
                    if not (moment and caution.moments) or moment in caution.moments
                ]
                if not entry["cautions"]:
                    del entry["cautions"]

    def _whole(self, checks: list[dict], judged: set[str], request) -> str:
        if not judged or any(required not in judged for required in request.require):
            return "not_checked"
        # A spec that only does not contradict itself has not been judged.
        if (
            judged == {"spec-consistency"}
            and request.checks != ("spec-consistency",)
            and all(entry["verdict"] == "pass" for entry in checks)
        ):
            return "not_checked"
        return max((entry["verdict"] for entry in checks), key=SEVERITY.__getitem__)

    def _failed_step(self, slot: int) -> str:
        node = next(node for node in self.rulebook.graph.nodes.values() if node.slot == slot)
        return f"{node.quantity.label} cannot be worked out from these numbers (outside the range its formula or curve holds for)."

    def _listed(self, key: str, plan: Plan, entries: list, make) -> list[dict]:
        """A list of the reply; made once a plan unless this run changed it."""
        if entries is not getattr(plan, key):
            return [make(*entry) for entry in entries]
        if key not in plan.texts:
            plan.texts[key] = [make(*entry) for entry in entries]
        return plan.texts[key]

    def _not_checked(self, id: str, needs: list, unworked: dict[str, str]) -> dict:
        entry = {"check": id, "needs": [list(group) for group in needs]}
        if id in unworked:
            entry["reason"] = unworked[id]
        return entry

    def _consistency(self, plan: Plan, found: list[Finding]) -> dict:
        check = plan.consistency
        verdict = max((one.verdict for one in found), key=SEVERITY.__getitem__, default="pass")
        entry = {"check": check.id, "title": check.title, "verdict": verdict}
        if found:
            entry["explanation"] = " ".join(one.text for one in found)
            entry["findings"] = [
                {"kind": one.kind, "verdict": one.verdict, "inputs": one.names, "text": one.text}
                for one in found
            ]
        else:
            entry["explanation"] = "".join(part for part in check.text["pass"][0].parts)
        return entry

    def _assumptions(self, plan: Plan, system: str, full: bool) -> list[dict]:
        key = ("assumptions", system, full)
        if key not in plan.texts:
            plan.texts[key] = self.assumptions(plan.leans, system, full)
        return plan.texts[key]

    def assumptions(self, leans: list[Lean], system: str, full: bool) -> list[dict]:
        """What was taken because it was not said, with its range and how far it may be trusted."""
        return [self._assumption(lean, system, full) for lean in leans]

    def _assumption(self, lean: Lean, system: str, full: bool) -> dict:
        if lean.table:
            table = self.rulebook.tables[lean.table]
            row = table.rows["unknown"]
            return {
                "input": lean.input,
                "label": table.label,
                "text": row.label,
                "source": source_of(self.rulebook, row.source, full),
            }
        one = self.rulebook.assumptions[lean.id]
        shower = self.writer.shower_of(f"assumed__{one.name}", system)
        entry = {
            "input": lean.input or one.name,
            "label": one.label,
            "text": shower.text(lean.row.typical),
            "between": f"{shower.text(lean.row.low)} and {shower.text(lean.row.high)}",
        }
        if full:
            entry["value"] = shower.measure(lean.row.typical)
            entry["range"] = {"low": shower.measure(lean.row.low), "high": shower.measure(lean.row.high)}
        return entry | {"source": source_of(self.rulebook, lean.row.source, full)}


def _severity(entry: dict) -> int:
    return -SEVERITY[entry["verdict"]]
