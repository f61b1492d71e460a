"""The findings of spec-consistency in words."""

from service.evaluation.judging.consistency import Contradicted, Disagreement, Finding, Unusual, worst_verdict
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.planning.dependence import Dependence
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.entry import MOST_WORDS_EXPLAINED, Entry
from service.evaluation.reporting.sentences import Place, Writer, lower, say
from service.evaluation.request import Request
from service.evaluation.running.run import Run
from service.json_object import JsonObject
from service.rulebook.check import Check, Contradiction
from service.rulebook.formulas.graph import RouteNode
from service.rulebook.names import shown

# More names of one route would not be read.
NAMES_TOLD = 3


class FindingWriter:
    """Words the findings of one rulebook."""

    def __init__(self, writer: Writer, dependence: Dependence):
        self.rulebook = writer.rulebook
        self.dependence = dependence
        self.writer = writer

    def entry(self, check: Check, findings: list[Finding], run: Run, request: Request) -> Entry:
        """The entry of spec-consistency; its first sentence is that of the worst finding."""
        verdict = worst_verdict(findings)
        words: JsonObject = {"check": check.id, "title": check.title, "verdict": verdict}
        if not findings:
            text = "".join(str(part) for part in check.text["pass"][0].parts)
            if not request.full:
                return Entry(check.id, "pass", {"check": check.id, "verdict": "pass", "text": text}, text)
            return Entry(check.id, "pass", words | {"explanation": text}, text)
        listed = [self._words(finding, run, request.units) for finding in findings]
        listed.sort(key=lambda finding: -SEVERITY[finding["verdict"]])
        texts = [finding["text"] for finding in listed]
        words["explanation"] = " ".join(texts) if request.full else within(texts, MOST_WORDS_EXPLAINED)
        words["findings"] = listed
        return Entry(check.id, verdict, words, texts[0])

    def contradictions(self, findings: list[Finding], run: Run, system: str) -> list[JsonObject]:
        """What a build says against itself, the worst first; what is merely unusual is none."""
        listed = []
        for finding in sorted(findings, key=lambda finding: -SEVERITY[finding.verdict]):
            if isinstance(finding, Unusual):
                continue
            words = self._words(finding, run, system)
            contradiction: JsonObject = {"text": words["text"], "inputs": words["inputs"]}
            if isinstance(finding, Contradicted) and finding.contradiction.reading:
                contradiction["reading"] = finding.contradiction.reading
            listed.append(contradiction)
        return listed

    def _words(self, finding: Finding, run: Run, system: str) -> JsonObject:
        match finding:
            case Disagreement():
                kind, inputs, text = (
                    "disagreement",
                    self._inputs(finding),
                    self._disagreement(finding, system),
                )
            case Contradicted(contradiction):
                place = Place(None, contradiction.quantity, system)
                prepared = [self.writer.prepare(sentence, run.plan, place) for sentence in contradiction.text]
                kind, text = "contradiction", say(prepared, run.figures)
                inputs = self._behind(contradiction, run)
            case Unusual():
                kind, inputs, text = "unusual", [finding.usual.path], self._unusual(finding, system)
        return {"kind": kind, "verdict": finding.verdict, "inputs": inputs, "text": text}

    def _behind(self, contradiction: Contradiction, run: Run) -> list[str]:
        """What was given of the inputs that a contradiction looks at."""
        looked_at = self.dependence.behind(contradiction.quantity) | contradiction.when.keys()
        resolution = run.plan.resolution
        given = {self.dependence.paths.get(name) for name in resolution.given} | resolution.choices.keys()
        if contradiction.sets_aside:
            given.add(contradiction.sets_aside)
        return sorted(looked_at & given)

    def _disagreement(self, finding: Disagreement, system: str) -> str:
        quantity = finding.node.quantity
        shower = self.writer.shower_of(finding.node.id, system)
        low, high = (
            f"{shower.text(result.value)} by {self._way(result.route)}"
            for result in (finding.low, finding.high)
        )
        return f"{quantity.label} doesn't add up: {low}, {high} ({100 * finding.apart:.1f} % apart)."

    def _inputs(self, finding: Disagreement) -> list[str]:
        """The inputs behind the two routes."""
        names = {shown(name) for result in (finding.low, finding.high) for name in result.route.names}
        return sorted(names.intersection(self.rulebook.inputs))

    def _way(self, route: RouteNode) -> str:
        """A route by what it reads."""
        labels = []
        for name in route.names:
            path = shown(name)
            if path in self.rulebook.inputs:
                labels.append(lower(self.rulebook.inputs[path].label))
            elif name in self.rulebook.graph.nodes:
                labels.append(lower(self.rulebook.graph.nodes[name].quantity.label))
        return " and ".join(labels[:NAMES_TOLD])

    def _unusual(self, finding: Unusual, system: str) -> str:
        usual, shower = finding.usual, self.writer.shower_of(finding.name, system)
        return (
            f"{usual.label} of {shower.text(finding.value)} is outside the usual "
            f"{shower.text(usual.low)} to {shower.text(usual.high)}."
        )
