"""How much a person takes in: sentences that fit into so many words."""

from collections.abc import Iterable


def within(sentences: Iterable[str], most: int) -> str:
    """The first sentence, and of the others as many as fit; one that is too long is left out, not cut."""
    kept: list[str] = []
    for sentence in sentences:
        if sentence and (not kept or words_in(" ".join([*kept, sentence])) <= most):
            kept.append(sentence)
    return " ".join(kept)


def words_in(text: str) -> int:
    """The words of a text, numbers and units among them."""
    return len(text.split())
