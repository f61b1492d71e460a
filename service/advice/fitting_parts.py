"""The parts of a catalog that meet a requirement: each judged with all that it gives."""

from service.catalog.catalog import Catalog
from service.catalog.expand import expanded
from service.catalog.part import Part
from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.judging.judge import SEVERITY, Judgement, judge
from service.json_object import JsonObject

# Who reads a list of parts looks at the first of them.
MOST_PARTS = 3
# Of one kind, cheapest first, these are tried.
MOST_TRIED = 60


class FittingParts:
    """Looks for parts of one build."""

    def __init__(self, evaluator: Evaluator, catalog: Catalog | None, build: JsonObject, allow: str):
        self.evaluator = evaluator
        self.catalog = catalog
        self.build = build
        self.allow = allow

    def of(self, slot: str, path: str, checks: list[str]) -> list[JsonObject]:
        """The cheapest in stock that pass the checks that ask for this size."""
        if self.catalog is None:
            return []
        group, _, name = path.rpartition(".")
        without = {key: value for key, value in self.build.get(group, {}).items() if key != name}
        build = self.build | {group: without}
        fitting: list[JsonObject] = []
        for part in self.catalog.slots.get(slot, ())[:MOST_TRIED]:
            if part.stock and name in part.gives.get(group, {}):
                verdict = self._verdict(expanded(build, [part]), tuple(checks))
                if verdict is not None and SEVERITY[verdict] <= SEVERITY[self.allow]:
                    fitting.append(self._line(part) | {"verdict": verdict})
            if len(fitting) == MOST_PARTS:
                break
        return fitting

    def _verdict(self, build: JsonObject, checks: tuple[str, ...]) -> str | None:
        """The worst verdict of the checks; None where one cannot be judged."""
        try:
            run = self.evaluator.run(self.evaluator.read(build), checks)
        except SpecError:
            return None
        judgements = [judge(plan, run.figures) for plan in run.plan.checks]
        verdicts = [judgement.verdict for judgement in judgements if isinstance(judgement, Judgement)]
        return (
            max(verdicts, key=SEVERITY.__getitem__, default=None)
            if len(verdicts) == len(judgements)
            else None
        )

    def _line(self, part: Part) -> JsonObject:
        assert self.catalog is not None, "a part comes from a catalog"
        return {
            "number": part.number,
            "title": part.title,
            "price": part.price / 100,
            "stock": part.stock,
            "text": f"{part.title}, {self.catalog.money(part.price)}, {part.stock} in stock.",
        }
