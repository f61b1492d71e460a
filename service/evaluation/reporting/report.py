"""The reply: verdicts, explanations, what was assumed, what was not checked, what to ask."""

from dataclasses import dataclass

from service.evaluation.judging.consistency import Contradicted, Finding, findings_of, usual_ranges
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judged_run import JudgedRun, judge_run
from service.evaluation.judging.spread import Spread, Spreads
from service.evaluation.planning.plan import NotApplicable, NotChecked, Plan
from service.evaluation.reporting.assumptions import AssumptionWriter
from service.evaluation.reporting.entry import Entry, EntryWriter
from service.evaluation.reporting.findings import FindingWriter
from service.evaluation.reporting.headline import Standing, headline
from service.evaluation.reporting.questions import QuestionWriter
from service.evaluation.reporting.sentences import Writer
from service.evaluation.reporting.watch import WatchWriter
from service.evaluation.request import Request
from service.evaluation.running.run import Run
from service.json_object import JsonObject

# More than anybody will ask a customer in one go; all of them come at full.
QUESTIONS_AT_SUMMARY = 8
# With this many checks named the shortest answer stays below 600 bytes.
NAMED_AT_VERDICT = 5


@dataclass(slots=True)
class Report:
    """One run as it is reported."""

    request: Request
    run: Run
    judged: JudgedRun
    spreads: dict[str, Spread]
    findings: list[Finding]
    entries: list[Entry]

    @property
    def checks(self) -> set[str]:
        """The checks that were judged."""
        return {entry.check for entry in self.entries}

    @property
    def verdict(self) -> str:
        """The verdict of the whole: the worst, unless what had to be judged was not."""
        request, checks = self.request, self.checks
        if not checks or any(required not in checks for required in request.require):
            return "not_checked"
        # A spec that only does not contradict itself has not been judged.
        only_consistency = checks == {"spec-consistency"} and request.checks != ("spec-consistency",)
        if only_consistency and all(entry.verdict == "pass" for entry in self.entries):
            return "not_checked"
        return max((entry.verdict for entry in self.entries), key=SEVERITY.__getitem__)


@dataclass(frozen=True, slots=True)
class NotJudgedLists:
    """What a plan does not judge, in words."""

    not_checked: list[JsonObject]
    not_applicable: list[JsonObject]


class Reporter:
    """Writes replies for one rulebook."""

    def __init__(self, writer: Writer):
        self.rulebook = writer.rulebook
        self.entries = EntryWriter(writer)
        self.findings = FindingWriter(writer)
        self.questions = QuestionWriter(writer.rulebook)
        self.watch = WatchWriter(writer)
        self.assumptions = AssumptionWriter(writer)
        self.usual = usual_ranges(self.rulebook)
        self.identity = {"version": self.rulebook.version, "digest": self.rulebook.digest}

    def report(self, request: Request, run: Run) -> JsonObject:
        """The whole reply at the detail asked for."""
        report = self._judged(request, run)
        judged, entries, verdict = report.judged, report.entries, report.verdict
        complete = not judged.not_checked and not any("not_judged_at" in entry.words for entry in entries)
        short = request.detail == "verdict"
        scope = [rule.text for rule in judged.scope(run.plan)]
        standing = Standing(verdict, entries, len(judged.not_checked), request.require, short, scope)
        reply: JsonObject = {
            "verdict": verdict,
            "complete": complete,
            "headline": headline(standing, self.rulebook),
        }
        if not short:
            reply |= self._details(report)
        elif verdict in ("fail", "warn"):
            worst = [entry.check for entry in entries if entry.verdict == verdict]
            reply[verdict] = worst[:NAMED_AT_VERDICT]
        reply["rulebook"] = self.identity
        reply["service"] = self.rulebook.version
        return reply

    def _judged(self, request: Request, run: Run) -> Report:
        """The run judged, with an entry for each check, the worst first."""
        judged = judge_run(run)
        report = Report(request, run, judged, {}, [], [])
        if "ranges" in request.include:
            spreads = Spreads(run, self.rulebook.graph.slots, judged.judged)
            report.spreads = {check.id: spread for check in judged.judged if (spread := spreads.of(check))}
        for check in judged.judged:
            report.entries.append(self.entries.entry(check, report.spreads.get(check.id), run, request))
        if run.plan.consistency:
            report.findings = findings_of(self.usual, run)
            entry = self.findings.entry(run.plan.consistency, report.findings, run, request.units)
            report.entries.append(entry)
        report.entries.sort(key=lambda entry: -SEVERITY[entry.verdict])
        self._caution_once(report.entries, request.moment)
        return report

    def _details(self, report: Report) -> JsonObject:
        """What a reply holds beside its verdict and headline."""
        request, run = report.request, report.run
        lists = self._not_judged(run.plan, report.judged)
        words: JsonObject = {}
        if scope := report.judged.scope(run.plan):
            words["scope"] = [{"text": rule.text, "inputs": list(rule.inputs)} for rule in scope]
        words |= {
            "checks": [entry.words for entry in report.entries],
            "not_checked": lists.not_checked,
            "not_applicable": lists.not_applicable,
            "understood": [{"input": path, "text": text} for path, text in run.known.understood],
            "assumptions": self.assumptions.of_plan(run.plan, request.units, request.full),
        }
        if "questions" in request.include:
            clearing = [rule.ask for rule in report.judged.scope(run.plan) if rule.ask] + [
                finding.contradiction.ask
                for finding in report.findings
                if isinstance(finding, Contradicted) and finding.contradiction.ask
            ]
            asked = self.questions.questions(run.plan, run.known.numbers, report.spreads, clearing)
            words["questions"] = asked if request.full else asked[:QUESTIONS_AT_SUMMARY]
        if request.moment:
            words["watch"] = self.watch.items(report.judged.judged, request.moment, run, request.units)
        return words

    def _caution_once(self, entries: list[Entry], moment: str | None) -> None:
        """Prints each caution once, with the worst check that needs it; cautions meant for other moments not
        at all.
        """
        printed: set[str] = set()
        for entry in entries:
            if "cautions" not in entry.words:
                continue
            ids = entry.words["cautions"]
            cautions = [self.rulebook.cautions[id] for id in ids if id not in printed]
            printed.update(ids)
            texts = [
                caution.text
                for caution in cautions
                if not (moment and caution.moments) or moment in caution.moments
            ]
            if texts:
                entry.words["cautions"] = texts
            else:
                del entry.words["cautions"]

    def _not_judged(self, plan: Plan, judged: JudgedRun) -> NotJudgedLists:
        """What was not judged; in words once a plan, unless this run moved a check there."""
        lists = plan.kept.once(
            NotJudgedLists,
            lambda: NotJudgedLists(
                [self._not_checked(entry, {}) for entry in plan.not_checked],
                [_not_applicable(entry) for entry in plan.not_applicable],
            ),
        )
        return NotJudgedLists(
            lists.not_checked
            if judged.not_checked is plan.not_checked
            else [self._not_checked(entry, judged.failed_steps) for entry in judged.not_checked],
            lists.not_applicable
            if judged.not_applicable is plan.not_applicable
            else [_not_applicable(entry) for entry in judged.not_applicable],
        )

    def _not_checked(self, entry: NotChecked, failed_steps: dict[str, int]) -> JsonObject:
        words: JsonObject = {"check": entry.check, "needs": [list(group) for group in entry.needs]}
        if entry.scope:
            words["reason"] = entry.scope.text
        if entry.check in failed_steps:
            slot = failed_steps[entry.check]
            node = next(node for node in self.rulebook.graph.nodes.values() if node.slot == slot)
            words["reason"] = (
                f"{node.quantity.label} cannot be worked out from these numbers "
                "(outside the range its formula or curve holds for)."
            )
        return words


def _not_applicable(entry: NotApplicable) -> JsonObject:
    return {"check": entry.check, "reason": entry.reason}
