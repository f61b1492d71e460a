"""The values people ask for, each with the range its assumptions leave."""

from typing import NamedTuple

from service.evaluation.judging.spread import Spreads
from service.evaluation.reporting.doubt import range_words
from service.evaluation.reporting.sentences import Writer
from service.evaluation.running.run import Run
from service.json_object import JsonObject


class Figures(NamedTuple):
    """The figures of a reply, and of those worth saying aloud the sentences."""

    words: list[JsonObject]
    said: list[str]


class FigureWriter:
    """Writes the figures of one rulebook."""

    def __init__(self, writer: Writer):
        self.writer = writer

    def figures(self, run: Run, spreads: Spreads | None, system: str) -> Figures:
        """Those of a run that could be worked out."""
        figures = Figures([], [])
        values, failed = run.figures
        for figure, name, slot, _ in run.plan.figures:
            if slot in failed:
                continue
            node = self.writer.rulebook.graph.nodes[name]
            shower = self.writer.shower_of(name, system)
            words: JsonObject = {"figure": figure.id, "label": figure.label or node.quantity.label}
            words |= shower.measure(values[slot])
            sentence = f"{words['label']}: about {words['text']}"
            if spreads:
                low, high, *_ = spreads.between(slot)
                if shower.text(low) != shower.text(high):
                    words["range"] = range_words(shower, low, high)
                    sentence += f", {words['range']['text']} with what was assumed"
            figures.words.append(words)
            if figure.said:
                figures.said.append(f"{sentence}.")
        return figures
