"""A rulebook in the words of another trade: 'gasoline' for 'petrol'; its numbers and names stay."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeVar

from service.rulebook.check import Bound, Check, Contradiction, Moment, Watch
from service.rulebook.files.text import Sentence
from service.rulebook.formulas.graph import Graph
from service.rulebook.input import Input
from service.rulebook.model import Table
from service.rulebook.rulebook import Rulebook

Word = Callable[[str], str]
Entry = TypeVar("Entry")


def worded(rulebook: Rulebook, words: Mapping[str, str]) -> Rulebook:
    """The same rulebook with every sentence, label and question in these words."""
    word = worder(words)

    def each(entries: dict[str, Entry], change: Callable[[Entry], Entry]) -> dict[str, Entry]:
        return {name: change(entry) for name, entry in entries.items()}

    quantities = each(rulebook.quantities, lambda entry: replace(entry, label=word(entry.label)))
    nodes = {
        id: replace(node, quantity=quantities.get(node.quantity.name, node.quantity))
        for id, node in rulebook.graph.nodes.items()
    }
    return replace(
        rulebook,
        inputs=each(rulebook.inputs, lambda entry: _input(entry, word)),
        cautions=each(rulebook.cautions, lambda entry: replace(entry, text=word(entry.text))),
        moments=each(rulebook.moments, lambda entry: _moment(entry, word)),
        constants=each(rulebook.constants, lambda entry: replace(entry, label=word(entry.label))),
        tables=each(rulebook.tables, lambda entry: _table(entry, word)),
        assumptions=each(
            rulebook.assumptions,
            lambda entry: replace(entry, label=word(entry.label), says=tuple(map(word, entry.says))),
        ),
        quantities=quantities,
        points=each(rulebook.points, lambda entry: replace(entry, label=word(entry.label))),
        checks=each(rulebook.checks, lambda entry: _check(entry, word)),
        scope=each(rulebook.scope, lambda entry: replace(entry, text=word(entry.text))),
        figures=each(
            rulebook.figures, lambda entry: replace(entry, label=word(entry.label) if entry.label else None)
        ),
        wording={},
        graph=Graph(nodes, rulebook.graph.slots),
    )


def worder(words: Mapping[str, str]) -> Word:
    """Puts one word for another, whole words only, with a capital where there was one."""
    if not words:
        return str
    found = re.compile(rf"\b({'|'.join(map(re.escape, words))})\b", re.IGNORECASE)

    def instead(match: re.Match[str]) -> str:
        new = words[match[0].lower()]
        return new.capitalize() if match[0][0].isupper() else new

    return lambda text: found.sub(instead, text)


def _sentences(sentences: tuple[Sentence, ...], word: Word) -> tuple[Sentence, ...]:
    return tuple(_sentence(sentence, word) for sentence in sentences)


def _sentence(sentence: Sentence, word: Word) -> Sentence:
    return replace(
        sentence, parts=tuple(word(part) if isinstance(part, str) else part for part in sentence.parts)
    )


def _input(field: Input, word: Word) -> Input:
    return replace(
        field,
        label=word(field.label),
        ask=word(field.ask),
        remedy=word(field.remedy),
        unknown=word(field.unknown),
        choices={choice: word(phrase) for choice, phrase in field.choices.items()},
        not_quite={
            written: near._replace(difference=word(near.difference))
            for written, near in field.not_quite.items()
        },
    )


def _table(table: Table, word: Word) -> Table:
    rows = {key: replace(row, label=word(row.label)) for key, row in table.rows.items()}
    columns = {name: replace(column, label=word(column.label)) for name, column in table.columns.items()}
    return replace(table, label=word(table.label), rows=rows, columns=columns)


def _moment(moment: Moment, word: Word) -> Moment:
    return replace(
        moment, label=word(moment.label), watch=tuple(_watch(watch, word) for watch in moment.watch)
    )


def _watch(watch: Watch, word: Word) -> Watch:
    stop_at = _sentence(watch.stop_at, word) if watch.stop_at else None
    return replace(watch, signal=word(watch.signal), expect=_sentence(watch.expect, word), stop_at=stop_at)


def _check(check: Check, word: Word) -> Check:
    return replace(
        check,
        title=word(check.title),
        short=word(check.short),
        beyond=word(check.beyond),
        otherwise=word(check.otherwise) if check.otherwise else None,
        limits={
            level: tuple(_bound(bound, word) for bound in bounds) for level, bounds in check.limits.items()
        },
        text={verdict: _sentences(sentences, word) for verdict, sentences in check.text.items()},
        contradictions=tuple(_contradiction(entry, word) for entry in check.contradictions),
        watch=_watch(check.watch, word) if check.watch else None,
    )


def _bound(bound: Bound, word: Word) -> Bound:
    return replace(bound, text=_sentences(bound.text, word)) if bound.text else bound


def _contradiction(entry: Contradiction, word: Word) -> Contradiction:
    return replace(entry, text=_sentences(entry.text, word), ask=word(entry.ask), reading=word(entry.reading))
