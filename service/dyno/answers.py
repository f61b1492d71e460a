"""What the answers of all dyno calls hold."""

from service.dyno.pulls import Pulls
from service.evaluation.evaluate import Evaluator
from service.evaluation.reporting.display import Shower
from service.json_object import JsonObject

CAUTION = "dyno-run"


def closing(evaluator: Evaluator) -> JsonObject:
    """The caution that goes with every figure of a dyno, and what answered."""
    return {
        "cautions": [evaluator.rulebook.cautions[CAUTION].text],
        "rulebook": evaluator.reporter.identity,
        "service": evaluator.rulebook.version,
    }


def set_of_pulls(shower: Shower, pulls: Pulls) -> JsonObject:
    """Count, mean and scatter of single pulls."""
    words: JsonObject = {"count": len(pulls.values), "mean": shower.measure(pulls.mean)}
    if pulls.scatter is not None:
        words["scatter"] = shower.measure(pulls.scatter)
        words["scatter_share"] = round(pulls.scatter / pulls.mean, 5)
    return words


def interval(shower: Shower, low: float, high: float) -> JsonObject:
    """Two ends in one unit."""
    return {
        "low": shower.measure(low)["value"],
        "high": shower.measure(high)["value"],
        "unit": shower.unit,
    }
