"""The reply: verdicts, explanations, what was assumed, what was not checked, what to ask."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.evaluation.judging.consistency import Contradicted, Finding, findings_of, usual_ranges
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.judging.judged_run import JudgedRun, judge_run
from service.evaluation.judging.spread import Spread, Spreads
from service.evaluation.planning.dependence import Dependence
from service.evaluation.reporting.assumptions import AssumptionWriter, deciding
from service.evaluation.reporting.entry import Entry, EntryWriter
from service.evaluation.reporting.figures import FigureWriter
from service.evaluation.reporting.findings import FindingWriter
from service.evaluation.reporting.goals import open_goals
from service.evaluation.reporting.headline import Standing, headline
from service.evaluation.reporting.not_used import NotUsedWriter
from service.evaluation.reporting.open_checks import OpenWriter
from service.evaluation.reporting.questions import Clearing, QuestionWriter
from service.evaluation.reporting.sentences import Writer
from service.evaluation.reporting.spoken import spoken
from service.evaluation.reporting.watch import WatchWriter
from service.evaluation.request import Request
from service.evaluation.running.run import Run
from service.json_object import JsonObject
from service.rulebook.check import ScopeRule

# More than anybody will ask a customer in one go; all of them come at full.
QUESTIONS_AT_SUMMARY = 3
# Of the assumptions that decide; nobody listens to more.
ASSUMPTIONS_AT_SUMMARY = 4


@dataclass(slots=True)
class Report:
    """One run as it is reported."""

    request: Request
    run: Run
    judged: JudgedRun
    spreads: Spreads | None
    by_check: dict[str, Spread]
    findings: list[Finding]
    entries: list[Entry]

    @property
    def checks(self) -> set[str]:
        """The checks that were judged."""
        return {entry.check for entry in self.entries}

    @property
    def scope(self) -> list[ScopeRule]:
        """What the rules do not model of this build."""
        return self.judged.scope(self.run.plan)

    @property
    def scope_words(self) -> list[JsonObject]:
        """The same as a reply has it."""
        return [{"text": rule.text, "inputs": list(rule.inputs)} for rule in self.scope]

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

    @property
    def complete(self) -> bool:
        """Whether every check that applies was judged at every point."""
        return not self.judged.not_checked and not any(
            "not_judged_at" in entry.words for entry in self.entries
        )


class Reporter:
    """Writes replies for one rulebook."""

    def __init__(self, writer: Writer, dependence: Dependence):
        self.rulebook = writer.rulebook
        self.entries = EntryWriter(writer)
        self.findings = FindingWriter(writer, dependence)
        self.questions = QuestionWriter(writer.rulebook)
        self.figures = FigureWriter(writer)
        self.open = OpenWriter(writer.rulebook)
        self.not_used = NotUsedWriter(writer.rulebook, dependence)
        self.watch = WatchWriter(writer)
        self.assumptions = AssumptionWriter(writer)
        self.usual = usual_ranges(self.rulebook)
        self.identity = {"version": self.rulebook.version, "digest": self.rulebook.digest}

    def report(self, request: Request, run: Run) -> JsonObject:
        """The whole reply at the detail asked for."""
        report = self.examine(request, run)
        contradictions = self.findings.contradictions(report.findings, run, request.units)
        standing = Standing(
            report.verdict,
            report.entries,
            request.require,
            [rule.text for rule in report.scope],
            [contradiction["text"] for contradiction in contradictions],
            [] if request.checks else open_goals(run.plan),
        )
        reply: JsonObject = {
            "verdict": report.verdict,
            "complete": report.complete,
            "headline": headline(standing, self.rulebook),
        }
        questions = self._questions(report)
        figures = self.figures.figures(run, report.spreads, request.units)
        if request.detail == "spoken":
            return spoken(reply, standing, figures.said, next(iter(questions), None))
        if report.scope:
            reply["scope"] = report.scope_words
        if contradictions:
            reply["contradictions"] = contradictions
        reply |= self._details(report)
        if figures.words:
            reply["figures"] = figures.words
        reply |= self._assumptions(report)
        if "questions" in request.include:
            reply["questions"] = questions
        if request.moment:
            reply["watch"] = self.watch.items(report.judged.judged, request.moment, run, request.units)
        return reply | {"rulebook": self.identity, "service": self.rulebook.version}

    def examine(self, request: Request, run: Run) -> Report:
        """The run judged, with an entry for each check, the worst first."""
        judged = judge_run(run)
        report = Report(request, run, judged, None, {}, [], [])
        if "ranges" in request.include:
            spreads = report.spreads = Spreads(run, self.rulebook.graph.slots, judged.judged)
            report.by_check = {check.id: spread for check in judged.judged if (spread := spreads.of(check))}
        for check in judged.judged:
            report.entries.append(self.entries.entry(check, report.by_check.get(check.id), run, request))
        if run.plan.consistency:
            report.findings = findings_of(self.usual, run)
            entry = self.findings.entry(run.plan.consistency, report.findings, run, request)
            report.entries.append(entry)
        # Of one verdict the furthest past its limit first, which the headline names.
        report.entries.sort(key=lambda entry: (-SEVERITY[entry.verdict], entry.margin))
        self._caution_once(report.entries, request.moment)
        return report

    def _details(self, report: Report) -> JsonObject:
        """The checks, what was not judged, and what was read of the build."""
        request, run = report.request, report.run
        needs = request.full or "needs" in request.include
        not_judged = self.open.words(run.plan, report.judged, needs)
        words: JsonObject = {
            "checks": [entry.words for entry in report.entries],
            "open": not_judged.open,
            "not_applicable": not_judged.not_applicable,
        }
        if understood := [{"input": path, "text": text} for path, text in run.known.understood]:
            words["understood"] = understood
        if not_used := self.not_used.listed(run.plan, report.judged, request.checks):
            words["not_used"] = not_used
        return words

    def _assumptions(self, report: Report) -> JsonObject:
        """Those that could turn a verdict shown, the others counted; at full all of them."""
        plan, request = report.run.plan, report.request
        leans = plan.moving_leans
        if not request.full and report.spreads:
            decide = deciding(plan, report.by_check, [check.plan for check in report.judged.judged])
            leans = decide[:ASSUMPTIONS_AT_SUMMARY]
        words: JsonObject = {
            "assumptions": self.assumptions.of_plan(plan, leans, request.units, request.full),
        }
        more = len(plan.moving_leans) - len(leans)
        return words | ({"more_assumptions": more} if more else {})

    def brief_questions(self, report: Report, first: list[str]) -> list[JsonObject]:
        """The questions that tell most, those that would open something asked for before the others."""
        return self._questions(report, first)[:QUESTIONS_AT_SUMMARY]

    def _questions(self, report: Report, first: Sequence[str] = ()) -> list[JsonObject]:
        request, run = report.request, report.run
        if "questions" not in request.include:
            return []
        clearing = [Clearing(rule.ask) for rule in report.scope if rule.ask]
        clearing += [
            Clearing(finding.contradiction.asks_for, finding.contradiction.ask)
            for finding in report.findings
            if isinstance(finding, Contradicted) and finding.contradiction.asks_for
        ]
        # What a customer can seldom say opens nothing.
        known = (path for path in first if not self.rulebook.inputs[path].rarely_known)
        clearing += [Clearing(path, narrows=True) for path in known]
        most = None if request.full else QUESTIONS_AT_SUMMARY
        words = self.questions.questions(run.plan, run.known.numbers, report.by_check, clearing, most)
        return words if request.full else [self.questions.brief(question) for question in words]

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
