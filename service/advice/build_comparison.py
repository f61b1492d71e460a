"""Two to four builds side by side: what they come to, which verdicts get better or worse, in one sentence."""

from dataclasses import dataclass, field

from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.display import ten_digits
from service.evaluation.reporting.entry import Entry
from service.evaluation.reporting.headline import MOST_WORDS
from service.evaluation.reporting.report import Report
from service.evaluation.request import Request
from service.json_object import JsonObject

LEAST_BUILDS, MOST_BUILDS = 2, 4
ORDINALS = ("first", "second", "third", "fourth")
NOT_JUDGED = "not_checked"
# A difference of expected power below this share is none.
SAME_POWER = 0.01
POWER = "expected_power"


@dataclass(slots=True)
class _Judged:
    """One build as it was judged, with its figures."""

    report: Report
    figures: dict[str, JsonObject] = field(default_factory=dict)

    @property
    def verdicts(self) -> dict[str, str]:
        return {entry.check: entry.verdict for entry in self.report.entries}

    @property
    def weakest(self) -> Entry | None:
        """What gives out first: the worst of what fails, else of what warns."""
        trouble = [entry for entry in self.report.entries if entry.verdict != "pass"]
        return max(trouble, key=lambda entry: SEVERITY[entry.verdict], default=None)


def compare_builds(evaluator: Evaluator, builds: list[JsonObject], units: str) -> JsonObject:
    """The builds side by side, the first one as the base."""
    evaluator = evaluator.speaking(units)
    judged = [_judge(evaluator, build, units) for build in builds]
    verdicts = _verdicts(evaluator, judged)
    scope = {rule.id: rule for one in judged for rule in one.report.scope}
    reporter = evaluator.reporter
    reply: JsonObject = {
        "headline": within([*(rule.text for rule in scope.values()), *_told(evaluator, judged)], MOST_WORDS),
        "figures": _figures(judged),
        "verdicts": verdicts,
        "better": [line["check"] for line in verdicts if _moved(line) < 0],
        "worse": [line["check"] for line in verdicts if _moved(line) > 0],
        "questions": reporter.brief_questions(judged[-1].report, []),
    }
    if scope:
        reply["scope"] = [{"text": rule.text, "inputs": list(rule.inputs)} for rule in scope.values()]
    return reply | {"rulebook": reporter.identity, "service": evaluator.rulebook.version}


def _judge(evaluator: Evaluator, build: JsonObject, units: str) -> _Judged:
    run = evaluator.run(evaluator.read(build))
    report = evaluator.reporter.examine(Request(build, units=units), run)
    figures = evaluator.reporter.figures.figures(run, report.spreads, units)
    return _Judged(report, {words["figure"]: words for words in figures.words})


def _figures(judged: list[_Judged]) -> list[JsonObject]:
    """Each figure of every build, and how far it moves from the first."""
    lines = []
    for name in dict.fromkeys(name for one in judged for name in one.figures):
        values = [one.figures.get(name) for one in judged]
        told = next(words for words in values if words)
        line: JsonObject = {
            "figure": name,
            "label": told["label"],
            "values": [words and {key: words[key] for key in ("value", "unit", "text")} for words in values],
        }
        first, last = values[0], values[-1]
        if first and last:
            line["change"] = ten_digits(last["value"] - first["value"])
        lines.append(line)
    return lines


def _verdicts(evaluator: Evaluator, judged: list[_Judged]) -> list[JsonObject]:
    """The checks that do not come to the same in every build."""
    lines = []
    for check in evaluator.rulebook.checks:
        verdicts = [one.verdicts.get(check, NOT_JUDGED) for one in judged]
        if len(set(verdicts)) > 1:
            lines.append({"check": check, "verdicts": verdicts})
    return lines


def _moved(line: JsonObject) -> int:
    """How much worse the last build is than the first; nothing where one of the two was not judged."""
    first, last = line["verdicts"][0], line["verdicts"][-1]
    return 0 if NOT_JUDGED in (first, last) else SEVERITY[last] - SEVERITY[first]


def _told(evaluator: Evaluator, judged: list[_Judged]) -> list[str]:
    """'The second makes 40 hp more and moves the weak link from the injectors to the clutch.'"""
    first, last = judged[0], judged[-1]
    parts = [part for part in (_power(first, last), _link(evaluator, first, last)) if part]
    sentences = [f"The {ORDINALS[len(judged) - 1]} {' and '.join(parts)}."] if parts else []
    if first.weakest is None and last.weakest is None:
        sentences.append(_nothing_found(first, last))
    return sentences


def _nothing_found(first: _Judged, last: _Judged) -> str:
    """Of how many checks; no such word where one of the two was not judged."""
    if NOT_JUDGED in (first.report.verdict, last.report.verdict):
        return "I can't compare the verdicts yet; the questions say what is missing."
    counts = [len(first.verdicts), len(last.verdicts)]
    if counts[0] == counts[1]:
        return (
            f"Nothing found in the numbers given: {counts[0]} check{'s' * (counts[0] != 1)} passed in each."
        )
    return f"Nothing found in the numbers given: {counts[0]} and {counts[1]} checks passed."


def _power(first: _Judged, last: _Judged) -> str:
    before, after = first.figures.get(POWER), last.figures.get(POWER)
    if before is None or after is None:
        return ""
    more = after["value"] - before["value"]
    if abs(more) < SAME_POWER * before["value"]:
        return "makes the same power"
    return f"makes {abs(more):.0f} {after['unit']} {'more' if more > 0 else 'less'}"


def _link(evaluator: Evaluator, first: _Judged, last: _Judged) -> str:
    """What becomes of the first one's weak link; gone is only what was judged again."""
    before, after = first.weakest, last.weakest
    checks = evaluator.rulebook.checks
    if before is not None and before.check not in last.verdicts:
        return f"doesn't say enough to judge the first one's weak link, the {checks[before.check].short}"
    if after is None:
        return f"gets rid of the weak link, the {checks[before.check].short}" if before else ""
    now = checks[after.check].short
    if after.check not in first.verdicts:
        return f"has a weak link, the {now}, that can't be judged in the first"
    if before is None:
        return f"brings a weak link, the {now}"
    if before.check == after.check:
        return f"leaves the weak link, the {now}"
    return f"moves the weak link from the {checks[before.check].short} to the {now}"
