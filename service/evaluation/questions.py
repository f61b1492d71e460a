"""The inputs to ask for, those that would settle most checks first."""

from service.evaluation.plan import Plan
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook


def questions(rulebook: Rulebook, plan: Plan, said: frozenset[str]) -> list[dict]:
    """One question an input; of a group of alternatives the first is asked. `said`: numbers with two readings, asked first."""
    key = ("questions", said)
    if key not in plan.texts:
        plan.texts[key] = _questions(rulebook, plan, said)
    return plan.texts[key]


def two_readings(rulebook: Rulebook) -> frozenset[str]:
    """Identifiers of the inputs whose number could mean more than one thing."""
    return frozenset(identifier(one.path) for one in rulebook.inputs.values() if one.could_mean)


def _questions(rulebook: Rulebook, plan: Plan, said: frozenset[str]) -> list[dict]:
    settles: dict[str, dict[str, None]] = {}
    for name in said:
        settles[next(one.path for one in rulebook.inputs.values() if identifier(one.path) == name)] = {}
    replaced = {meant: path for path in settles for meant in rulebook.inputs[path].could_mean}
    for check, groups in plan.not_checked:
        for group in groups:
            asked = next((replaced[path] for path in group if path in replaced), group[0])
            settles.setdefault(asked, {})[check] = None
    ordered = sorted(settles.items(), key=lambda item: (item[0] not in replaced.values(), -len(item[1])))
    return [{"input": path, "ask": rulebook.inputs[path].ask, "would_settle": list(checks)} | _readings(rulebook, path) for path, checks in ordered]


def _readings(rulebook: Rulebook, path: str) -> dict:
    could_mean = rulebook.inputs[path].could_mean
    return {"could_mean": list(could_mean)} if could_mean else {}
