"""What the answers of all dyno calls hold."""

import re

from service.dyno.pulls import Pulls
from service.evaluation.evaluate import Evaluator
from service.evaluation.reporting.brevity import within
from service.evaluation.reporting.display import Shower
from service.evaluation.reporting.headline import MOST_WORDS
from service.json_object import JsonObject

CAUTION = "dyno-run"


def closing(evaluator: Evaluator, text: str) -> JsonObject:
    """What is said first, the caution that goes with every figure of a dyno, and what answered."""
    sentences = re.split(r"(?<=[.:]) (?=[A-Z])", text)
    return {
        "headline": within(sentences, MOST_WORDS),
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
