"""What was given and not used: said, with the reason, so that nobody thinks it was looked at."""

from service.evaluation.judging.judged_run import JudgedRun
from service.evaluation.planning.dependence import Dependence
from service.evaluation.planning.plan import Plan
from service.evaluation.planning.reading import inputs_read
from service.evaluation.reporting.sentences import lower
from service.json_object import JsonObject
from service.rulebook.rulebook import Rulebook

# Of more checks than this one is named, the first.
LABELS_TOLD = 2


class Unused(list[str]):
    """The inputs given that one plan does not read."""


class NotUsedWriter:
    """Tells what of a build one rulebook had no use for."""

    def __init__(self, rulebook: Rulebook, dependence: Dependence):
        self.rulebook = rulebook
        self.dependence = dependence

    def listed(self, plan: Plan, judged: JudgedRun, named: tuple[str, ...]) -> list[JsonObject]:
        """Inputs given that nothing judged, told or compared reads."""
        unused = plan.kept.once(Unused, lambda: self._unused(plan))
        return [{"input": path, "text": self._why(path, judged, named)} for path in unused]

    def _unused(self, plan: Plan) -> Unused:
        read = inputs_read(plan).all
        return Unused(path for path in self._given(plan) if path not in read)

    def _given(self, plan: Plan) -> list[str]:
        given, choices = plan.resolution.given, plan.resolution.choices
        paths = dict.fromkeys(path for path in self.rulebook.inputs if path in choices)
        paths |= dict.fromkeys(
            self.dependence.paths[name] for name in sorted(given) if name in self.dependence.paths
        )
        return list(paths)

    def _why(self, path: str, judged: JudgedRun, named: tuple[str, ...]) -> str:
        label = self.rulebook.inputs[path].label
        waiting = [entry for entry in judged.not_checked if path in self.dependence.of(entry.check)]
        if any(entry.scope for entry in waiting):
            return f"{label}: not used, since this kind of engine isn't covered."
        if waiting:
            # The check that asks for least besides is the one it was given for.
            entry = min(waiting, key=lambda entry: len(self.dependence.of(entry.check)))
            labels = dict.fromkeys(lower(self.rulebook.inputs[group[0]].label) for group in entry.needs)
            needs = " and the ".join(list(labels)[:LABELS_TOLD])
            short = self.rulebook.checks[entry.check].short
            return f"{label}: only used for the {short}" + (f", which needs the {needs}." if needs else ".")
        for not_applicable in judged.not_applicable:
            if path in self.dependence.of(not_applicable.check):
                return f"{label}: not used. {not_applicable.reason}"
        if named:
            return f"{label}: the checks asked for don't use it."
        return f"{label}: nothing judged here depends on it with the rest as given."
