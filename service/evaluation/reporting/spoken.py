"""The answer read out: verdict, headline, at most two more sentences, one question."""

import orjson

from service.evaluation.reporting.brevity import words_in
from service.evaluation.reporting.headline import Standing
from service.json_object import JsonObject

# Longer nobody listens, and a language model pays for it; the name of the evaluation comes on top.
MOST_BYTES = 600 - len(',"evaluation":"sha256:"') - 64
MOST_SENTENCES = 2
# Of one further sentence; a longer one is left out, not cut.
MOST_WORDS = 30


def spoken(
    reply: JsonObject, standing: Standing, figures: list[str], question: JsonObject | None
) -> JsonObject:
    """The reply with what can be said in one breath; what does not fit is left out."""
    if question:
        reply = reply | {"question": {"input": question["input"], "ask": question["ask"]}}
    said: list[str] = []
    for sentence in _further(standing, figures):
        if len(said) == MOST_SENTENCES:
            break
        if sentence in reply["headline"] or words_in(sentence) > MOST_WORDS:
            continue
        longer = reply | {"say": " ".join([*said, sentence])}
        if len(orjson.dumps(longer)) <= MOST_BYTES:
            said.append(sentence)
    return reply | ({"say": " ".join(said)} if said else {})


def _further(standing: Standing, figures: list[str]) -> list[str]:
    """What comes after the headline: other contradictions, what else stops it, what it will make."""
    sentences = [*standing.scope, *standing.contradictions]
    if standing.verdict in ("fail", "warn"):
        worst = [entry.first for entry in standing.worst if entry.first]
        # A headline that names nothing else says the first of them.
        sentences += worst if sentences else worst[1:]
    return [*sentences, *figures]
