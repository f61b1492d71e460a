"""The rulebook as a client may read it."""

from typing import Any

from service.evaluation.examples import plain_json
from service.evaluation.reporting.display import Display, Shower
from service.rulebook.check import Bound, Requirements
from service.rulebook.formulas.functions import FUNCTIONS
from service.rulebook.input import Input
from service.rulebook.model import Guard, Quantity
from service.rulebook.rulebook import Rulebook
from service.units.number_form import amount
from service.units.units import DIMENSIONS


def checks(rulebook: Rulebook) -> list[dict[str, Any]]:
    """One line for each check."""
    return [
        {"check": check.id, "title": check.title, "judges": check.judges, "at": list(check.points)}
        for check in rulebook.checks.values()
    ]


def check(rulebook: Rulebook, id: str) -> dict[str, Any]:
    """One check whole."""
    check = rulebook.checks[id]
    return {
        "check": check.id,
        "title": check.title,
        "short": check.short,
        "judges": check.judges,
        "at": list(check.points),
        "applies_when": _guard(check.applies_when),
        "otherwise": check.otherwise,
        "limits": {
            level: [_bound(rulebook, bound) for bound in bounds] for level, bounds in check.limits.items()
        },
        "requires": _requires(rulebook, check.requires) if check.requires else None,
        "levers": check.levers,
        "cautions": [rulebook.cautions[caution].text for caution in check.cautions],
        "held_against": [outside.against for outside in check.held_against],
        "contradictions": [contradiction.id for contradiction in check.contradictions],
        "examples": [
            {
                "given": plain_json(example.given),
                "expect": plain_json(example.expect),
                "source": _source(rulebook, example.source),
            }
            for example in check.examples
        ],
    }


def _bound(rulebook: Rulebook, bound: Bound) -> dict[str, Any]:
    quantity = rulebook.quantities[bound.judges]
    shower = _shower(rulebook, quantity)
    limit: dict[str, Any] = {
        "side": bound.side,
        "of": bound.judges,
        "source": _source(rulebook, bound.source),
    }
    if bound.when:
        limit["when"] = _guard(bound.when)
    elif bound.quantity:
        limit["limit"] = bound.quantity
    elif bound.number is not None:
        limit["limit"] = shower.text(bound.number)
    else:
        limit["by"] = list(bound.by)
        limit["rows"] = [
            {"when": dict(zip(bound.by, row.words, strict=True)), "limit": shower.text(row.number)}
            for row in bound.rows
        ]
    return limit


def _requires(rulebook: Rulebook, requires: Requirements) -> dict[str, Any]:
    """What has to be there, and what is said where it is not."""
    return {
        "each": [{"when": _guard(part.when), "choices": _guard(part.choices)} for part in requires.each],
        "if_missing": requires.if_missing,
        "source": _source(rulebook, requires.source),
    }


def _shower(rulebook: Rulebook, quantity: Quantity) -> Shower:
    """How a quantity is shown in metric units."""
    return Display(rulebook).shower(
        quantity.dimension, "metric", quantity.unit.get("metric"), quantity.digits
    )


def inputs(rulebook: Rulebook) -> list[dict[str, Any]]:
    """Every input: its word, kind, units and question."""
    return [input_page(source, rulebook) for source in rulebook.inputs.values()]


def input_page(source: Input, rulebook: Rulebook) -> dict[str, Any]:
    """One input."""
    entry: dict[str, Any] = {
        "input": source.path,
        "kind": source.kind,
        "label": source.label,
        "ask": source.ask,
    }
    if source.kind == "number":
        entry["dimensions"] = list(source.words)
        entry["units"] = [
            unit for dimension in source.words for unit in DIMENSIONS[dimension].offered if unit
        ]
        if source.reading:
            entry["reading"] = source.reading
        if source.steps:
            entry["step"] = {
                dimension: {system: amount(*step) for system, step in steps.items()}
                for dimension, steps in source.steps.items()
            }
    if source.kind in ("choice", "flag"):
        entry["choices"] = {word: rulebook.phrase(source.path, word) for word in rulebook.words_of(source)}
    if source.kind == "count":
        entry["possible"] = list(source.possible_count)
    if source.could_mean:
        entry["could_mean"] = list(dict.fromkeys(source.could_mean.values()))
    return entry


def quantities(rulebook: Rulebook) -> list[dict[str, Any]]:
    """Every quantity with its routes in order of preference."""
    return [_quantity(rulebook, quantity) for quantity in rulebook.quantities.values()]


def _quantity(rulebook: Rulebook, quantity: Quantity) -> dict[str, Any]:
    return {
        "quantity": quantity.name,
        "label": quantity.label,
        "dimension": quantity.dimension,
        "reading": quantity.reading,
        "at_operating_points": quantity.at_points,
        "routes": [
            {
                "when": _guard(route.when),
                "formula": route.formula.text,
                "source": _source(rulebook, route.source),
            }
            for route in quantity.routes
        ],
    }


def functions() -> list[dict[str, Any]]:
    """One line for each function."""
    return [{"function": name, "summary": function.summary} for name, function in FUNCTIONS.items()]


def function(name: str) -> dict[str, Any]:
    """One function whole."""
    function = FUNCTIONS[name]
    return {
        "function": function.name,
        "summary": function.summary,
        "arguments": [
            {
                "name": argument.name,
                "dimension": argument.dimension or argument.shape,
                "reading": argument.reading,
            }
            for argument in function.arguments
        ],
        "results": [
            {"name": result.name, "dimension": result.dimension, "reading": result.reading}
            for result in function.results
        ],
        "page": function.page,
    }


def fuels(rulebook: Rulebook) -> list[dict[str, Any]]:
    """The rows of the fuel table, numbers in metric display units."""
    table = rulebook.tables["fuels"]
    display = Display(rulebook)
    rows = []
    for row in table.rows.values():
        if row.key == "unknown":
            continue
        entry: dict[str, Any] = {
            "grade": row.key,
            "label": row.label,
            "source": _source(rulebook, row.source),
        }
        for column in table.columns.values():
            if column.name in row.cells:
                cell = row.cells[column.name]
                entry[column.name] = (
                    cell
                    if isinstance(cell, str)
                    else display.shower(column.dimension, "metric").measure(cell)
                )
        rows.append(entry)
    return rows


def sources(rulebook: Rulebook) -> list[dict[str, Any]]:
    """Every source and its kind."""
    return [
        {"source": source.id, "kind": source.kind, "citation": source.citation}
        for source in rulebook.sources.values()
    ]


def _source(rulebook: Rulebook, id: str) -> dict[str, Any]:
    source = rulebook.sources[id]
    return {"kind": source.kind, "citation": source.citation}


def _guard(guard: Guard) -> dict[str, list[str]]:
    return {choice: sorted(word for word in words if " " not in word) for choice, words in guard.items()}
