"""The schemas of the contract: requests, answers, and the build spec made from the inputs."""

from service.advice.batches import MOST_BUILDS
from service.advice.choice import OBJECTIVES
from service.advice.limits import MOST_INPUTS
from service.advice.sweeps import MOST_CANDIDATES
from service.catalog.slots import SLOTS
from service.evaluation.speed_curves import MOST_SPEEDS
from service.rulebook.input import Input
from service.rulebook.rulebook import Rulebook
from service.units.fault import LONGEST_TEXT
from service.units.units import DIMENSIONS
from service.web.api.dyno_requests import MOST_POINTS, MOST_PULLS
from service.web.api.fields import MOST_COLUMNS, MOST_MONEY
from service.web.api.schemas import ALLOWED, COMPARED, DETAILS, INCLUDED, INCLUDES, UNITS

_STRING = {"type": "string"}
_STRINGS = {"type": "array", "items": _STRING}
_PINS = {
    "rulebook": {
        "type": "string",
        "description": "Digest of the rulebook to be used; 412 if another is loaded.",
    },
    "catalog": {
        "type": "string",
        "description": "Digest of the catalog to be used; 412 if another is loaded, or none.",
    },
}


def ref(name: str) -> dict:
    return {"$ref": f"#/components/schemas/{name}"}


def schemas(rulebook: Rulebook) -> dict:
    verdicts = {"type": "string", "enum": ["pass", "warn", "fail"]}
    check_ids = {"type": "string", "enum": list(rulebook.checks)}
    identity = {
        "type": "object",
        "required": ["version", "digest"],
        "properties": {"version": _STRING, "digest": _STRING},
    }
    units = {"type": "string", "enum": list(UNITS), "default": "metric"}
    any_verdict = {"type": "string", "enum": ["pass", "warn", "fail", "not_checked"]}
    nullable = {"type": "array", "items": {"type": ["number", "null"]}}
    weather = {
        "air_pressure": _dimensional(["pressure"]),
        "air_temperature": _dimensional(["temperature"]),
        "humidity": _dimensional(["ratio"]),
    }
    figure = _dimensional(["power", "torque"])
    curve = {
        "type": "array",
        "minItems": 2,
        "maxItems": MOST_POINTS,
        "items": _object(
            {"speed": _dimensional(["rotational_speed"]), "value": figure}, ["speed", "value"], False
        ),
    }
    sides = {
        "description": "Single figures, or curves of points {speed, value}, or {mean, count}; both sides of one form.",
        "oneOf": [
            {"type": "array", "minItems": 1, "maxItems": MOST_PULLS, "items": figure},
            {"type": "array", "minItems": 2, "maxItems": MOST_PULLS, "items": curve},
            _object(
                {"mean": figure, "count": {"type": "integer", "minimum": 1, "maximum": MOST_PULLS}},
                ["mean", "count"],
                False,
            ),
        ],
    }
    named_parts = {
        "type": "array",
        "items": _object({"slot": _STRING, "number": _STRING, "title": _STRING}, ["slot", "number", "title"]),
    }
    misfits = {
        "type": "array",
        "items": _object({"parts": _STRINGS, "over": _STRING, "text": _STRING}, ["parts", "over", "text"]),
        "description": "Parts that do not go together; the whole fails.",
    }
    source = {
        "type": "object",
        "required": ["kind", "citation"],
        "properties": {"kind": _STRING, "citation": _STRING},
    }
    return {
        "Build": _build(rulebook),
        "EvaluationRequest": _object(
            {
                "build": ref("Build"),
                "detail": {
                    "type": "string",
                    "enum": list(DETAILS),
                    "default": "summary",
                    "description": "verdict: under 600 bytes; summary: passes are short; full: with the working of every check.",
                },
                "units": {
                    "type": "string",
                    "enum": list(UNITS),
                    "default": "metric",
                    "description": "Units of the answer; the build may use any.",
                },
                "include": {
                    "type": "array",
                    "maxItems": len(INCLUDES),
                    "items": {"type": "string", "enum": list(INCLUDES)},
                    "default": list(INCLUDED),
                    "description": "ranges: what the assumptions leave open; questions: what to ask next; remedies: what would mend each warning and failure, tried on the whole build.",
                },
                "checks": {
                    "type": "array",
                    "maxItems": len(rulebook.checks),
                    "items": check_ids,
                    "description": "Judge these only.",
                },
                "require": {
                    "type": "array",
                    "maxItems": len(rulebook.checks),
                    "items": check_ids,
                    "description": "Without these judged the whole is not_checked.",
                },
                "moment": {
                    "type": "string",
                    "enum": list(rulebook.moments),
                    "description": "Where the job stands: picks cautions and the watch list, never a verdict.",
                },
                **_PINS,
            },
            ["build"],
            False,
        ),
        "Measure": _object(
            {"value": {"type": ["number", "null"]}, "unit": _STRING, "text": _STRING},
            ["value", "unit", "text"],
        ),
        "Source": source,
        "Step": _object(
            {
                "name": _STRING,
                "label": _STRING,
                "formula": _STRING,
                "with_numbers": _STRING,
                "value": {"type": ["number", "null"]},
                "unit": _STRING,
                "text": _STRING,
                "source": ref("Source"),
            },
            ["name", "label", "formula", "with_numbers", "value", "unit", "text", "source"],
        ),
        "Judgement": _object(
            {
                "check": check_ids,
                "title": _STRING,
                "verdict": verdicts,
                "value": ref("Measure"),
                "limit": {"type": "object"},
                "margin": {
                    "type": "number",
                    "description": "How far inside (+) or outside (-) the limit that counts, as a share of it.",
                },
                "judged_at": _STRING,
                "not_judged_at": _STRINGS,
                "range": _object(
                    {"low": {"type": "number"}, "high": {"type": "number"}, "unit": _STRING, "text": _STRING},
                    ["low", "high", "unit", "text"],
                )
                | {
                    "description": "Where the value may lie under what was assumed, one input at a time, combined by root sum of squares."
                },
                "could_be": {
                    "type": "array",
                    "items": verdicts,
                    "description": "The verdicts reachable under what was assumed.",
                },
                "settle_by": {
                    "type": "array",
                    "items": _STRING,
                    "description": "Unknown inputs, the one that would narrow the range most first.",
                },
                "explanation": _STRING,
                "leans_on": _STRINGS,
                "remedies": {"type": "array", "items": ref("Remedy")},
                "cautions": _STRINGS,
                "findings": {"type": "array", "items": {"type": "object"}},
                "working": {"type": "array", "items": ref("Step")},
            },
            ["check", "verdict", "explanation"],
        ),
        "Remedy": _object(
            {
                "set": {"type": "object", "description": "Put this into the build and post it again."},
                "text": _STRING,
                "fixes": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                "breaks": {
                    "type": "array",
                    "items": _object(
                        {"check": check_ids, "from": _STRING, "to": _STRING}, ["check", "from", "to"]
                    ),
                },
                "verdict": verdicts | {"description": "Of the whole build with it."},
            },
            ["set", "text", "fixes", "breaks", "verdict"],
        ),
        "Evaluation": _object(
            {
                "verdict": {"type": "string", "enum": ["pass", "warn", "fail", "not_checked"]},
                "complete": {
                    "type": "boolean",
                    "description": "Whether every check that applies was judged at every point.",
                },
                "headline": {"type": "string", "description": "One sentence, fit to read aloud."},
                "fail": _STRINGS,
                "warn": _STRINGS,
                "checks": {"type": "array", "items": ref("Judgement")},
                "not_checked": {
                    "type": "array",
                    "items": _object(
                        {
                            "check": check_ids,
                            "needs": {
                                "type": "array",
                                "items": _STRINGS,
                                "description": "One input of each inner list is needed.",
                            },
                            "reason": _STRING,
                        },
                        ["check", "needs"],
                    ),
                },
                "not_applicable": {
                    "type": "array",
                    "items": _object({"check": check_ids, "reason": _STRING}, ["check", "reason"]),
                },
                "understood": {
                    "type": "array",
                    "items": _object({"input": _STRING, "text": _STRING}, ["input", "text"]),
                },
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "questions": {
                    "type": "array",
                    "items": _object(
                        {
                            "input": _STRING,
                            "ask": _STRING,
                            "why": _STRING,
                            "would_settle": _STRINGS,
                            "could_mean": _STRINGS,
                        },
                        ["input", "ask", "why", "would_settle"],
                    ),
                },
                "watch": {
                    "type": "array",
                    "items": _object(
                        {"signal": _STRING, "expect": _STRING, "stop_at": _STRING},
                        ["signal", "expect", "stop_at"],
                    ),
                },
                "parts": named_parts,
                "misfits": misfits,
                "rulebook": identity,
                "catalog": identity,
                "service": _STRING,
                "evaluation": _STRING,
            },
            ["verdict", "complete", "headline", "rulebook", "service", "evaluation"],
        ),
        "LimitsRequest": _object(
            {
                "build": ref("Build"),
                "inputs": {
                    "type": "array",
                    "maxItems": MOST_INPUTS,
                    "items": {"type": "string", "enum": list(rulebook.inputs)},
                    "description": "Inputs to move, one at a time; they need not be given in the build.",
                },
                "checks": {
                    "type": "array",
                    "maxItems": len(rulebook.checks),
                    "items": check_ids,
                    "description": "Look at these only.",
                },
                "verdict": {
                    "type": "string",
                    "enum": list(ALLOWED),
                    "description": "The worst verdict allowed; the build's own where it passes, else warn.",
                },
                "units": {"type": "string", "enum": list(UNITS), "default": "metric"},
                **_PINS,
            },
            ["build"],
            False,
        ),
        "Limits": _object(
            {
                "verdict": {
                    "type": "string",
                    "enum": ["pass", "warn", "fail", "not_checked"],
                    "description": "What the build is now.",
                },
                "keeps": {"type": "string", "enum": list(ALLOWED)},
                "limits": {
                    "type": "array",
                    "items": _object(
                        {
                            "input": _STRING,
                            "label": _STRING,
                            "now": _STRING,
                            "text": _STRING,
                            "at_least": ref("Limit"),
                            "at_most": ref("Limit"),
                            "stopped_by": check_ids,
                        },
                        ["input", "label", "text"],
                    ),
                },
                "understood": {"type": "array", "items": {"type": "object"}},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "rulebook": identity,
                "service": _STRING,
            },
            ["verdict", "keeps", "limits", "rulebook", "service"],
        ),
        "Limit": _object(
            {
                "text": _STRING,
                "set": {"type": ["string", "integer"], "description": "As it stands in a build."},
                "stopped_by": check_ids,
            },
            ["text", "set", "stopped_by"],
        ),
        "BatchRequest": _object(
            {
                "builds": {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": MOST_BUILDS,
                    "items": {
                        "type": "object",
                        "description": "A build; a faulty one gets its faults as its entry.",
                    },
                },
                "checks": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                "units": units,
                **_PINS,
            },
            ["builds"],
            False,
        ),
        "Batch": _object(
            {
                "builds": {
                    "type": "array",
                    "items": _object(
                        {
                            "status": {"type": "integer", "enum": [200, 422]},
                            "verdict": any_verdict,
                            "checks": {
                                "type": "array",
                                "items": _object(
                                    {
                                        "check": check_ids,
                                        "verdict": verdicts,
                                        "value": ref("Measure"),
                                        "margin": {"type": "number"},
                                        "judged_at": _STRING,
                                    },
                                    ["check", "verdict"],
                                ),
                            },
                            "misfits": misfits,
                            "errors": {"type": "array", "items": ref("Fault")},
                        },
                        ["status"],
                    ),
                },
                "rulebook": identity,
                "catalog": identity,
                "service": _STRING,
            },
            ["builds", "rulebook", "service"],
        ),
        "SweepRequest": _object(
            {
                "build": ref("Build"),
                "columns": {
                    "type": "object",
                    "minProperties": 1,
                    "maxProperties": MOST_COLUMNS,
                    "description": f"Inputs that are numbers, each with a column of candidates; up to {MOST_CANDIDATES} of one length.",
                    "additionalProperties": {
                        "oneOf": [
                            {"type": "array", "minItems": 1, "maxItems": MOST_CANDIDATES},
                            _object(
                                {
                                    "from": {},
                                    "to": {},
                                    "count": {"type": "integer", "minimum": 2, "maximum": MOST_CANDIDATES},
                                },
                                ["from", "to", "count"],
                                False,
                            ),
                        ]
                    },
                },
                "checks": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                "units": units,
                **_PINS,
            },
            ["build", "columns"],
            False,
        ),
        "Sweep": _object(
            {
                "count": {"type": "integer"},
                "verdict": {"type": "array", "items": any_verdict},
                "checks": {
                    "type": "array",
                    "items": _object(
                        {
                            "check": check_ids,
                            "verdict": _STRINGS,
                            "value": nullable,
                            "unit": {"type": ["string", "array", "null"]},
                            "margin": nullable,
                        },
                        ["check", "verdict", "value", "unit", "margin"],
                    ),
                },
                "not_checked": {"type": "array", "items": {"type": "object"}},
                "understood": {"type": "array", "items": {"type": "object"}},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "parts": named_parts,
                "misfits": misfits,
                "rulebook": identity,
                "catalog": identity,
                "service": _STRING,
            },
            ["count", "verdict", "checks", "rulebook", "service"],
        ),
        "SelectionRequest": _object(
            {
                "build": ref("Build"),
                "slots": {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": len(SLOTS),
                    "items": {"type": "string", "enum": list(SLOTS)},
                    "description": "Slots to fill; a part that the build names there counts as the present one.",
                },
                "objective": {"type": "string", "enum": list(OBJECTIVES), "default": "cheapest"},
                "verdict": {
                    "type": "string",
                    "enum": list(ALLOWED),
                    "default": "warn",
                    "description": "The worst verdict allowed.",
                },
                "budget": {
                    "type": "number",
                    "minimum": 0,
                    "maximum": MOST_MONEY,
                    "description": "For the parts of the open slots, in the currency of the catalog.",
                },
                "in_stock": {"type": "boolean", "default": True},
                "checks": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                **_PINS,
            },
            ["build", "slots"],
            False,
        ),
        "Selection": _object(
            {
                "objective": _STRING,
                "allowed": _STRING,
                "proved": {"type": "boolean", "description": "Whether the solver went through all sets."},
                "sets": {"type": "array", "items": ref("PartSet")},
                "slots": {"type": "array", "items": {"type": "object"}},
                "conflict": {
                    "type": "object",
                    "description": "Where no set will do: the checks that have to give, and the nearest set.",
                },
                "understood": {"type": "array", "items": {"type": "object"}},
                "rulebook": identity,
                "catalog": identity,
                "service": _STRING,
            },
            ["objective", "allowed", "proved", "sets", "slots", "rulebook", "catalog", "service"],
        ),
        "PartSet": _object(
            {
                "parts": {"type": "object", "additionalProperties": _STRING},
                "price": {"type": "number"},
                "text": _STRING,
                "verdict": any_verdict,
                "judged": {"type": "integer", "description": "How many checks could be judged."},
                "warns": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                "least_margin": {"type": "object"},
                "changes": _STRINGS,
            },
            ["parts", "price", "text", "verdict", "warns"],
        ),
        "CorrectionsRequest": _object(
            {
                "pulls": {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": MOST_PULLS,
                    "items": _object(
                        {"power": _dimensional(["power"]), "torque": _dimensional(["torque"])} | weather,
                        [],
                        False,
                    ),
                },
                "weather": _object(weather, [], False)
                | {"description": "Counts for every pull that has no weather of its own."},
                "boost_controlled": {
                    "type": "boolean",
                    "default": False,
                    "description": "A turbo whose boost is held by a controller.",
                },
                "units": units,
                **_PINS,
            },
            ["pulls"],
            False,
        ),
        "Corrections": _object(
            {
                "pulls": {
                    "type": "array",
                    "items": _object(
                        {
                            "uncorrected": {"type": "object"},
                            "corrections": {"type": "array", "items": {"type": "object"}},
                        },
                        ["uncorrected", "corrections"],
                    ),
                },
                "cautions": _STRINGS,
                "rulebook": identity,
                "service": _STRING,
            },
            ["pulls", "cautions", "rulebook", "service"],
        ),
        "ComparisonRequest": _object(
            {
                "quantity": {"type": "string", "enum": list(COMPARED)},
                "a": sides,
                "b": sides,
                "interleaved": {
                    "type": "boolean",
                    "default": False,
                    "description": "Runs were made in turns, pull n of a beside pull n of b.",
                },
                "in_order": {
                    "type": "boolean",
                    "default": False,
                    "description": "The pulls are given in the order they were made: a drift can be looked for.",
                },
                "claimed": {"oneOf": [{"type": "string", "maxLength": LONGEST_TEXT}, {"type": "object"}]},
                "units": units,
                **_PINS,
            },
            ["quantity", "a", "b"],
            False,
        ),
        "Comparison": _object(
            {
                "verdict": {"type": "string", "enum": ["real", "not_shown", "cannot_be_told"]},
                "text": _STRING,
                "cautions": _STRINGS,
                "rulebook": identity,
                "service": _STRING,
            },
            ["verdict", "text", "cautions", "rulebook", "service"],
        ),
        "CalibrationRequest": _object(
            {
                "build": ref("Build"),
                "pulls": {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": MOST_PULLS,
                    "items": _dimensional(["power"])
                    | {"description": "Power with its place: 430 whp, 500 bhp."},
                },
                "units": units,
                **_PINS,
            },
            ["build", "pulls"],
            False,
        ),
        "Calibration": _object(
            {
                "pulls": {"type": "object"},
                "found": {"type": "array", "items": {"type": "object"}},
                "logged": {
                    "type": "array",
                    "items": {"type": "object"},
                    "description": "Logged figures beside the reckoned ones.",
                },
                "explained_by": {
                    "type": "array",
                    "items": _object({"input": _STRING, "text": _STRING}, ["input", "text"]),
                },
                "spec": {"type": "object", "description": "The build to post back."},
                "contradicted": {
                    "type": "array",
                    "items": _object({"check": check_ids, "text": _STRING}, ["check", "text"]),
                },
                "confirmed": {"type": "array", "maxItems": len(rulebook.checks), "items": check_ids},
                "cautions": _STRINGS,
                "rulebook": identity,
                "service": _STRING,
            },
            [
                "pulls",
                "found",
                "explained_by",
                "spec",
                "contradicted",
                "confirmed",
                "cautions",
                "rulebook",
                "service",
            ],
        ),
        "SpeedCurvesRequest": _object(
            {
                "build": ref("Build"),
                "speeds": _object(
                    {
                        "from": _dimensional(["rotational_speed"]),
                        "to": _dimensional(["rotational_speed"]),
                        "count": {"type": "integer", "minimum": 2, "maximum": MOST_SPEEDS},
                    },
                    [],
                    False,
                ),
                "units": {"type": "string", "enum": list(UNITS), "default": "metric"},
                **_PINS,
            },
            ["build"],
            False,
        ),
        "SpeedCurves": _object(
            {
                "columns": {
                    "type": "array",
                    "items": _object(
                        {
                            "quantity": _STRING,
                            "label": _STRING,
                            "unit": _STRING,
                            "values": {"type": "array", "items": {"type": ["number", "null"]}},
                        },
                        ["quantity", "label", "unit", "values"],
                    ),
                },
                "not_worked_out": {
                    "type": "array",
                    "items": _object(
                        {"quantity": _STRING, "needs": {"type": "array", "items": _STRINGS}},
                        ["quantity", "needs"],
                    ),
                },
                "understood": {"type": "array", "items": {"type": "object"}},
                "assumptions": {"type": "array", "items": {"type": "object"}},
                "rulebook": identity,
                "service": _STRING,
            },
            ["columns", "not_worked_out", "rulebook", "service"],
        ),
        "Fault": _object(
            {
                "pointer": {"type": "string", "description": "JSON Pointer into the request."},
                "code": _STRING,
                "detail": _STRING,
                "expected": _STRING,
                "suggestion": _STRING,
            },
            ["pointer", "code", "detail"],
        ),
        "Problem": _object(
            {
                "type": _STRING,
                "title": _STRING,
                "status": {"type": "integer"},
                "code": {"type": "string", "description": "Stable; switch on this, never on prose."},
                "detail": _STRING,
                "suggestion": _STRING,
                "loaded": _STRING,
                "trace_id": {
                    "type": "string",
                    "description": "With a 500: what the service logged it under.",
                },
                "errors": {"type": "array", "items": ref("Fault")},
            },
            ["type", "title", "status", "code", "detail"],
        ),
    }


def _object(properties: dict, required: list[str], additional: bool = True) -> dict:
    made: dict = {"type": "object", "required": required, "properties": properties}
    if not additional:
        made["additionalProperties"] = False
    return made


def _build(rulebook: Rulebook) -> dict:
    """The build spec: one object a group, one property an input, nothing else."""
    top: dict = {}
    groups: dict[str, dict] = {}
    for one in rulebook.inputs.values():
        (groups.setdefault(one.group, {}) if one.group else top)[one.name] = _field(rulebook, one)
    top |= {
        group: _object(fields, [], False) | {"description": f"What is known of {group.replace('_', ' ')}."}
        for group, fields in groups.items()
    }
    for made in top.values():
        if made.get("required") == []:
            del made["required"]
    top["parts"] = {
        "type": "object",
        "description": "Slot to part number of the catalog; the part fills its fields, a field given explicitly wins.",
        "properties": {slot: {"type": "string", "description": label} for slot, (label, _) in SLOTS.items()},
        "additionalProperties": False,
    }
    return {
        "type": "object",
        "description": "What is known of the build; every field is optional.",
        "properties": top,
        "additionalProperties": False,
    }


def _field(rulebook: Rulebook, one: Input) -> dict:
    made: dict = {"description": f"{one.label}. {one.ask}"}
    if one.kind == "number":
        return made | _number(one)
    if one.kind == "count":
        return made | {"type": "integer", "minimum": one.possible_count[0], "maximum": one.possible_count[1]}
    if one.kind == "flag":
        return made | {"type": ["boolean", "string"], "enum": [True, False, "yes", "no"]}
    if one.kind == "choice":
        words = [*rulebook.words_of(one), *one.synonyms]
        yes_no = [word for word, said in ((True, "yes"), (False, "no")) if said in words]
        return (
            made
            | ({"type": ["string", "boolean"]} if yes_no else {"type": "string"})
            | {"enum": [*words, *yes_no]}
        )
    if one.kind == "curve":
        words = [axis.word for axis in one.axes]
        point = _object(
            {word: _dimensional([axis.dimension]) for word, axis in zip(words, one.axes)}, words, False
        )
        return made | {"type": "array", "minItems": one.points[0], "maxItems": one.points[1], "items": point}
    lists = {}
    for part, axes in one.lists.items():
        point = _object(
            {axis.word: _dimensional([axis.dimension]) for axis in axes}, [axis.word for axis in axes], False
        )
        lists[part] = {"type": "array", "minItems": one.points[0], "maxItems": one.points[1], "items": point}
    return made | _object(lists, list(one.required), False)


def _number(one: Input) -> dict:
    if one.reading:
        reading = {
            "gauge": "Gauge pressure.",
            "absolute": "Absolute pressure, counted from vacuum.",
            "difference": "A pressure difference.",
        }.get(one.reading)
        if reading:
            return _dimensional(list(one.words), tolerance=True) | {"x-reading": one.reading}
    return _dimensional(list(one.words), tolerance=True)


def _dimensional(dimensions: list[str], tolerance: bool = False) -> dict:
    units = [unit for dimension in dimensions for unit in DIMENSIONS[dimension].offered if unit]
    if all(DIMENSIONS[dimension].plain for dimension in dimensions):
        return {"type": ["number", "string"], "maxLength": LONGEST_TEXT}
    words = {"value": {"type": "number"}, "unit": {"type": "string", "enum": units}}
    if tolerance:
        words["tolerance"] = {
            "type": "number",
            "minimum": 0,
            "description": "How far the value may be off, in the same unit.",
        }
    return {
        "oneOf": [
            {"type": "string", "maxLength": LONGEST_TEXT},
            {"type": "object", "required": ["value", "unit"], "properties": words},
        ],
        "x-units": units,
    }
