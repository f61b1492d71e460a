"""The parts of a slot, each judged by itself and with the sentence of the check that it decides."""

from service.advice.candidates import Candidate, added
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY, JudgedCheck
from service.evaluation.judging.judged_run import judge_run
from service.evaluation.known import Known
from service.evaluation.many import Outcomes, judge_many
from service.evaluation.request import Request
from service.json_object import JsonObject

NOT_JUDGED = "Nothing I can judge here depends on it yet."


class PartLines:
    """Lists parts for one build, over the checks asked for."""

    def __init__(self, evaluator: Evaluator, asked: Request, known: Known, checks: tuple[str, ...]):
        self.evaluator = evaluator
        self.asked = asked
        self.known = known
        self.checks = checks

    def of(self, candidates: list[Candidate]) -> list[JsonObject]:
        """Each part of a slot by itself, over the checks that can tell: the other open slots are left
        unknown.
        """
        paths = {path for candidate in candidates for path in candidate.adds}
        telling = tuple(
            check for check in self.checks if not paths.isdisjoint(self.evaluator.dependence.of(check))
        )
        nothing = Outcomes("not_checked", None, [])
        outcomes_of = [nothing] * len(candidates)
        if telling:
            builds = [added(self.known, candidate) for candidate in candidates]
            outcomes_of = judge_many(self.evaluator, builds, telling)
        sentences = self._sentences(candidates, telling)
        return [
            {
                "number": candidate.part.number,
                "title": candidate.part.title,
                "price": candidate.part.price / 100,
                "stock": candidate.part.stock,
                "verdict": max(
                    (outcome.verdict for outcome in outcomes.checks),
                    key=SEVERITY.__getitem__,
                    default="not_checked",
                ),
                "text": sentence or NOT_JUDGED,
            }
            | least_margin(outcomes)
            for candidate, outcomes, sentence in zip(candidates, outcomes_of, sentences, strict=True)
        ]

    def _sentences(self, candidates: list[Candidate], checks: tuple[str, ...]) -> list[str]:
        """For each part the sentence of the worst check that has a figure of it as a lever, else of the
        worst that tells it from the others; empty where none can be judged.
        """
        levers = {path for candidate in candidates for path in candidate.adds}
        rules = self.evaluator.rulebook.checks
        own = tuple(check for check in checks if not levers.isdisjoint(rules[check].levers))
        return [self._sentence(candidate, own or checks) for candidate in candidates]

    def _sentence(self, candidate: Candidate, checks: tuple[str, ...]) -> str:
        if not checks:
            return ""
        run = self.evaluator.run(added(self.known, candidate), checks)
        judged = judge_run(run).judged
        if not judged:
            return ""
        worst = max(judged, key=_badness)
        return self.evaluator.reporter.entries.entry(worst, None, run, self.asked).first


def _badness(check: JudgedCheck) -> tuple[int, float]:
    margin = check.judgement.margin
    return SEVERITY[check.judgement.verdict], -(margin if margin is not None else 0.0)


def least_margin(outcomes: Outcomes) -> JsonObject:
    """The check with the least room, where one has any."""
    least = outcomes.least_margin()
    return {} if least is None else {"least_margin": {"check": least[1], "margin": round(least[0], 4)}}
