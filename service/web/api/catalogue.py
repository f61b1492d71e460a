"""The rulebook as a client may read it."""

from service.catalog.catalog import Catalog
from service.catalog.part import Part
from service.catalog.slots import SLOTS
from service.evaluation.examples import plain_json
from service.evaluation.reporting.display import Display, Shower
from service.rulebook.formulas.functions import FUNCTIONS, Function
from service.rulebook.input import Input
from service.rulebook.model import Bound, Check, Guard, Quantity
from service.rulebook.rulebook import Rulebook
from service.units.number_form import amount
from service.units.units import DIMENSIONS


def checks(rulebook: Rulebook) -> list[dict]:
    """One line for each check."""
    return [
        {"check": one.id, "title": one.title, "judges": one.judges, "at": list(one.points)}
        for one in rulebook.checks.values()
    ]


def check(rulebook: Rulebook, id: str) -> dict:
    """One check whole."""
    one: Check = rulebook.checks[id]
    return {
        "check": one.id,
        "title": one.title,
        "judges": one.judges,
        "at": list(one.points),
        "applies_when": _guard(one.applies_when),
        "otherwise": one.otherwise,
        "limits": {
            level: [_bound(rulebook, bound) for bound in bounds] for level, bounds in one.limits.items()
        },
        "levers": one.levers,
        "cautions": [rulebook.cautions[caution].text for caution in one.cautions],
        "contradictions": [contradiction.id for contradiction in one.contradictions],
        "examples": [
            {
                "given": plain_json(example.given),
                "expect": plain_json(example.expect),
                "source": _source(rulebook, example.source),
            }
            for example in one.examples
        ],
    }


def _bound(rulebook: Rulebook, bound: Bound) -> dict:
    quantity = rulebook.quantities[bound.judges]
    shower = _shower(rulebook, quantity)
    limit: dict = {"side": bound.side, "of": bound.judges, "source": _source(rulebook, bound.source)}
    if bound.quantity:
        limit["limit"] = bound.quantity
    elif bound.rows:
        limit["by"] = list(bound.by)
        limit["rows"] = [
            {"when": dict(zip(bound.by, words)), "limit": shower.text(number)} for words, number in bound.rows
        ]
    else:
        limit["limit"] = shower.text(bound.number)
    return limit


def _shower(rulebook: Rulebook, quantity: Quantity) -> Shower:
    """How a quantity is shown in metric units."""
    return Display(rulebook).shower(
        quantity.dimension, "metric", quantity.unit.get("metric"), quantity.digits
    )


def inputs(rulebook: Rulebook) -> list[dict]:
    """Every input: its word, kind, units and question."""
    return [_input(rulebook, one) for one in rulebook.inputs.values()]


def _input(rulebook: Rulebook, one: Input) -> dict:
    entry: dict = {"input": one.path, "kind": one.kind, "label": one.label, "ask": one.ask}
    if one.kind == "number":
        entry["dimensions"] = list(one.words)
        entry["units"] = [unit for dimension in one.words for unit in DIMENSIONS[dimension].offered if unit]
        if one.reading:
            entry["reading"] = one.reading
        if one.steps:
            entry["step"] = {
                dimension: {system: amount(*step) for system, step in steps.items()}
                for dimension, steps in one.steps.items()
            }
    if one.kind in ("choice", "flag"):
        entry["choices"] = {word: rulebook.phrase(one.path, word) for word in rulebook.words_of(one)}
    if one.kind == "count":
        entry["possible"] = list(one.possible_count)
    if one.could_mean:
        entry["could_mean"] = list(one.could_mean)
    return entry


def quantities(rulebook: Rulebook) -> list[dict]:
    """Every quantity with its routes in order of preference."""
    return [_quantity(rulebook, one) for one in rulebook.quantities.values()]


def _quantity(rulebook: Rulebook, one: Quantity) -> dict:
    return {
        "quantity": one.name,
        "label": one.label,
        "dimension": one.dimension,
        "reading": one.reading,
        "at_operating_points": one.at_points,
        "routes": [
            {
                "when": _guard(route.when),
                "formula": route.formula.text,
                "source": _source(rulebook, route.source),
            }
            for route in one.routes
        ],
    }


def functions() -> list[dict]:
    """One line for each function."""
    return [{"function": one.name, "summary": one.summary} for one in FUNCTIONS.values()]


def function(name: str) -> dict:
    """One function whole."""
    one: Function = FUNCTIONS[name]
    return {
        "function": one.name,
        "summary": one.summary,
        "arguments": [
            {"name": a.name, "dimension": a.dimension or a.shape, "reading": a.reading} for a in one.arguments
        ],
        "results": [{"name": r.name, "dimension": r.dimension, "reading": r.reading} for r in one.results],
        "page": one.page,
    }


def fuels(rulebook: Rulebook) -> list[dict]:
    """The rows of the fuel table, numbers in metric display units."""
    table = rulebook.tables["fuels"]
    display = Display(rulebook)
    rows = []
    for row in table.rows.values():
        if row.key == "unknown":
            continue
        entry: dict = {"grade": row.key, "label": row.label, "source": _source(rulebook, row.source)}
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


def sources(rulebook: Rulebook) -> list[dict]:
    """Every source and its kind."""
    return [
        {"source": one.id, "kind": one.kind, "citation": one.citation} for one in rulebook.sources.values()
    ]


def _source(rulebook: Rulebook, id: str) -> dict:
    one = rulebook.sources[id]
    return {"kind": one.kind, "citation": one.citation}


def _guard(guard: Guard) -> dict[str, list[str]]:
    return {choice: sorted(word for word in words if " " not in word) for choice, words in guard.items()}


def parts(catalog: Catalog | None) -> dict:
    """All parts by slot, cheapest first."""
    if catalog is None:
        return {"slots": []}
    slots = [
        {
            "slot": slot,
            "label": SLOTS[slot][0],
            "parts": [_line(catalog, part) for part in catalog.slots[slot]],
        }
        for slot in SLOTS
        if slot in catalog.slots
    ]
    return {"slots": slots, "catalog": catalog.identity}


def part(catalog: Catalog, number: str) -> dict:
    """One part whole."""
    found = catalog.parts[number]
    return _line(catalog, found) | {
        "slot": found.slot,
        "maker": found.maker,
        "gives": found.gives,
        "fits": {key: list(words) for key, words in found.fits.items()},
        "has": found.has,
        "catalog": catalog.identity,
    }


def _line(catalog: Catalog, part: Part) -> dict:
    return {
        "number": part.number,
        "title": part.title,
        "price": part.price / 100,
        "text": catalog.money(part.price),
        "stock": part.stock,
    }
