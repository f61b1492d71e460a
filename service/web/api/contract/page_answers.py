"""The pages: of the rulebook, of the catalog, and of the process."""

from service.rulebook.rulebook import Rulebook
from service.web.api.contract.shared_answers import CHECK, IDENTITY, INPUT, MEASURE, PIECE_OF_BUILD
from service.web.api.json_schema import (
    INTEGER,
    NUMBER,
    TEXT,
    TEXT_OR_NULL,
    TEXTS,
    YES_NO,
    Schema,
    described,
    list_of,
    map_of,
    one_of,
    record,
    ref,
)

_SOURCE = ref("Source")
_MORE = {"next_page_token": described(TEXT, "Where there are more: put it into `page_token` and ask again.")}
_GUARD = described(map_of(TEXTS), "Choice to the words of it that fit; empty where anything does.")


def schemas(rulebook: Rulebook) -> dict[str, Schema]:
    """The schemas by name."""
    return _checks() | _inputs() | _formulas() | _tables(rulebook) | _parts() | _words() | _process()


def _checks() -> dict[str, Schema]:
    line = {
        "check": CHECK,
        "title": TEXT,
        "judges": described(TEXT_OR_NULL, "The quantity it looks at; null where it is yes or no."),
        "at": described(TEXTS, "Operating points; empty where there is only one."),
    }
    row = record({"when": described(map_of(TEXT), "Choice to its word."), "limit": TEXT})
    bound = record(
        {
            "side": described(one_of(("above", "below", "when")), "Beyond it on this side is too far."),
            "of": described(TEXT, "The quantity that is limited."),
            "source": _SOURCE,
        },
        {"limit": TEXT, "when": _GUARD, "by": TEXTS, "rows": list_of(row)},
    )
    requirement = record({"when": _GUARD, "choices": _GUARD})
    requires = record({"each": list_of(requirement), "if_missing": TEXT, "source": _SOURCE})
    given = described(PIECE_OF_BUILD, "Inputs by their dotted names.")
    expect = described(map_of(TEXT), "Quantity to its figure with its unit, or `verdict`.")
    example = record({"given": given, "expect": expect, "source": _SOURCE})
    return {
        "Checks": record({"checks": list_of(record(line))}, _MORE),
        "Check": record(
            {
                **line,
                "short": described(TEXT, "Its name in a sentence."),
                "applies_when": _GUARD,
                "otherwise": described(TEXT_OR_NULL, "What is said where it does not apply."),
                "limits": record({}, {"warn": list_of(bound), "fail": list_of(bound)}),
                "requires": {"oneOf": [requires, {"type": "null"}]},
                "levers": described(map_of(one_of(("up", "down"))), "Input to the way that helps."),
                "cautions": TEXTS,
                "held_against": described(TEXTS, "What outside the service its numbers are tested against."),
                "contradictions": described(TEXTS, "The contradictions that it names."),
                "examples": described(list_of(example), "Worked examples, run with every start."),
            }
        ),
    }


def _inputs() -> dict[str, Schema]:
    step = map_of(map_of(TEXT))
    return {
        "Inputs": record({"inputs": list_of(ref("Input"))}, _MORE),
        "Input": record(
            {
                "input": INPUT,
                "kind": one_of(("number", "count", "flag", "choice", "curve", "map")),
                "label": TEXT,
                "ask": described(TEXT, "The question to put to the customer."),
            },
            {
                "dimensions": TEXTS,
                "units": described(TEXTS, "Some of the units it may have; others are read too."),
                "reading": described(TEXT, "Of a pressure or temperature: gauge, absolute, difference."),
                "step": described(step, "Dimension, then system of units, to the step of a proposal."),
                "choices": described(map_of(TEXT), "Word to how it is told."),
                "possible": described(list_of(INTEGER), "The least and the most."),
                "could_mean": described(list_of(INPUT), "More exact inputs that it could mean."),
            },
        ),
    }


def _formulas() -> dict[str, Schema]:
    route = record({"when": _GUARD, "formula": TEXT, "source": _SOURCE})
    quantity = record(
        {
            "quantity": TEXT,
            "label": TEXT,
            "dimension": TEXT,
            "reading": TEXT_OR_NULL,
            "at_operating_points": YES_NO,
            "routes": described(list_of(route), "In order of preference."),
        }
    )
    function = {"function": TEXT, "summary": TEXT}
    value = record({"name": TEXT, "dimension": TEXT, "reading": TEXT_OR_NULL})
    return {
        "Quantities": record({"quantities": list_of(quantity)}, _MORE),
        "Functions": record({"functions": list_of(record(function))}, _MORE),
        "Function": record(
            {
                **function,
                "arguments": list_of(value),
                "results": list_of(value),
                "page": described(TEXT, "Its whole description."),
            }
        ),
    }


def _tables(rulebook: Rulebook) -> dict[str, Schema]:
    columns = rulebook.tables["fuels"].columns.values() if "fuels" in rulebook.tables else ()
    cells = {column.name: TEXT if column.dimension is None else MEASURE for column in columns}
    fuel = record({"grade": TEXT, "label": TEXT, "source": _SOURCE}, cells)
    source = record({"source": TEXT, "kind": TEXT, "citation": TEXT})
    return {
        "Fuels": record({"fuels": list_of(fuel)}, _MORE),
        "Sources": record({"sources": list_of(source)}, _MORE),
    }


def _parts() -> dict[str, Schema]:
    line = {
        "number": TEXT,
        "title": TEXT,
        "price": described(NUMBER, "In the currency of the catalog."),
        "text": described(TEXT, "The price with its currency."),
        "stock": INTEGER,
    }
    slot = record({"slot": TEXT, "label": TEXT, "parts": described(list_of(record(line)), "Cheapest first.")})
    return {
        "Parts": record({"slots": list_of(slot)}, {"catalog": IDENTITY} | _MORE),
        "Part": record(
            {
                **line,
                "slot": TEXT,
                "maker": TEXT,
                "gives": described(PIECE_OF_BUILD, "What it fills into a build."),
                "fits": described(map_of(TEXTS), "Interface to the words that go with it."),
                "has": described(map_of(TEXT), "Interface to the word it has itself."),
                "catalog": IDENTITY,
            },
            {"fills": described(PIECE_OF_BUILD, "Of a kit: the slots it fills, and with what.")},
        ),
    }


def _words() -> dict[str, Schema]:
    of_input = record(
        {"input": INPUT, "kind": TEXT, "label": TEXT, "ask": TEXT}, {"units": TEXTS, "choices": TEXTS}
    )
    of_part = record({"number": TEXT, "slot": TEXT, "title": TEXT, "text": TEXT, "stock": INTEGER})
    return {
        "Words": record(
            {},
            {
                "inputs": list_of(of_input),
                "checks": list_of(record({"check": CHECK, "title": TEXT})),
                "slots": list_of(record({"slot": TEXT, "label": TEXT})),
                "fuels": list_of(record({"grade": TEXT, "label": TEXT})),
                "quantities": list_of(record({"quantity": TEXT, "label": TEXT})),
                "parts": list_of(of_part),
                "more": described(map_of(INTEGER), "How many of a kind fit besides."),
                "text": described(TEXT, "Where nothing fits."),
                "nearest": described(TEXTS, "The words that are known, nearest to those asked for."),
            },
        )
    }


def _process() -> dict[str, Schema]:
    return {
        "Contract": {"type": "object", "additionalProperties": True, "description": "OpenAPI 3.1."},
        "Health": record({"status": one_of(("ok",))}),
        "Readiness": record({"status": one_of(("ready",)), "rulebook": IDENTITY}),
        "Metrics": described(TEXT, "The Prometheus text format."),
    }
