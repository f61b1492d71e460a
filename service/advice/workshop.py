"""One build and what was tried on it, each thing once: levers moved for one check, changes on the whole."""

from service.advice.fixing import Fixing
from service.advice.levers import Lever, Levers, Moves, change_of, put_into, values_of
from service.advice.trial import Trial
from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.consistency import Contradicted, Finding, Unusual
from service.evaluation.judging.judge import SEVERITY
from service.evaluation.known import Known
from service.evaluation.request import Request

# Bounds of the work of one request, by counts: whole builds tried, and levers moved on one check, alone or
# together.
MOST_TRIED = 60
MOST_MOVED = 90


def worst(verdicts: dict[str, str]) -> str:
    """The verdict of the whole."""
    return max(verdicts.values(), key=SEVERITY.__getitem__, default="pass")


class Workshop:
    """One build, and what was tried on it."""

    def __init__(self, evaluator: Evaluator, known: Known, request: Request):
        self.evaluator = evaluator
        self.known = known
        self.request = request
        self.rulebook = evaluator.rulebook
        self.levers = Levers(self.rulebook, known, request.units)
        self.fixing = Fixing(evaluator, known)
        self.tried: dict[frozenset[tuple[str, int]], dict[str, str] | None] = {}
        self.moved_levers: dict[tuple[object, ...], Moves | None] = {}
        trial = Trial(evaluator, known, request.checks, {})
        self.before = trial.base_verdicts()
        self._behind_findings = self._inputs_behind(trial.findings())

    def depends(self, check: str) -> frozenset[str]:
        """The inputs that a check can depend on; of the spec against itself those behind what was found."""
        if self.rulebook.checks[check].collects:
            return self._behind_findings
        return self.evaluator.dependence.of(check)

    def _inputs_behind(self, findings: list[Finding]) -> frozenset[str]:
        dependence = self.evaluator.dependence
        paths: set[str] = set()
        for finding in findings:
            if isinstance(finding, Unusual):
                paths.add(finding.usual.path)
            elif isinstance(finding, Contradicted):
                paths |= dependence.behind(finding.contradiction.quantity)
            else:
                paths |= dependence.behind(finding.node.id)
        return frozenset(paths)

    @property
    def exhausted(self) -> bool:
        """Whether as much was tried as is allowed for one request."""
        return len(self.tried) >= MOST_TRIED or len(self.moved_levers) >= MOST_MOVED

    def verdicts(self, moves: Moves) -> dict[str, str] | None:
        """The verdicts of the whole build with moves; None where a check judged before no longer can be."""
        key = frozenset((move.lever.path, move.rung) for move in moves)
        if key not in self.tried:
            trial = Trial(self.evaluator, self.known, self.request.checks, values_of(moves))
            lost = not self.before.keys().isdisjoint(trial.base_lost())
            self.tried[key] = None if lost else trial.base_verdicts()
        return self.tried[key]

    def verified(self, moves: Moves, allowed: str) -> bool:
        """Whether the build does what it should when it is sent again with the change put in."""
        try:
            known = self.evaluator.read(put_into(self.request.build, change_of(moves)))
        except SpecError:
            return False
        verdicts = Trial(self.evaluator, known, self.request.checks, {}).base_verdicts()
        return SEVERITY[worst(verdicts)] <= SEVERITY[allowed]

    def moved(self, check: str, levers: tuple[Lever, ...], allowed: str, moves: Moves) -> Moves | None:
        """Levers moved as far as a check needs it, other moves put in; None where that does not help."""
        behind = moves
        if not self.rulebook.checks[check].collects:
            behind = tuple([move for move in moves if move.lever.path in self.depends(check)])
        key = (
            check,
            allowed,
            tuple([lever.key for lever in levers]),
            frozenset((move.lever.path, move.rung) for move in behind),
        )
        if key not in self.moved_levers:
            if len(levers) > 1:
                self.moved_levers[key] = self.fixing.together(check, levers, allowed, behind)
            else:
                move = self.fixing.single(check, levers[0], allowed, behind)
                self.moved_levers[key] = (move,) if move else None
        return self.moved_levers[key]
