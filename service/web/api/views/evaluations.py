"""Judging builds: one, many, and one over columns of candidates."""

from typing import Any, NamedTuple

import numpy as np
from flask import g

from service.advice.batches import MOST_FAULTS, MOST_SUGGESTED, batch_headline, evaluate_batch
from service.advice.remedies import add_remedies
from service.advice.sweeps import evaluate_sweep, same_length
from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.known import Known
from service.evaluation.request import Request
from service.web.api.body import MAX_BATCH
from service.web.api.named_parts import NO_PARTS, NamedParts, name_parts, take_parts, with_parts
from service.web.api.state import State
from service.web.api.views.calls import Answer, Calls, Post, Tag

CALLS = Calls(Tag("builds", "Builds judged: one, many, and one over columns of candidates."))


@CALLS.post(
    Post(
        path="/v1/evaluations",
        request="EvaluationRequest",
        answer="Evaluation",
        gives="The verdicts.",
        when="Call it before a part is ordered or a quote is given, with whatever is known: every field is "
        'optional. Give numbers with their units ("12 psi", "42 lb/h", "480 hp"). Boost is gauge pressure; '
        "a sensor range counts from vacuum. It does not decide whether parts fit the car, whether they are "
        "sound, or whether the law allows them. A fail is HTTP 200; 422 means the request has to be fixed.",
    )
)
def create_evaluation(state: State, fields: dict[str, Any]) -> Answer:
    """Judge one build: send what is known of it, get verdicts with their reasons, and what is still to be
    asked.
    """
    parts = take_parts(state, fields)
    asked = Request(**fields, catalog=state.catalog_digest)
    watch = g.record.watch
    answer = state.evaluator.evaluate(asked, watch)
    if "remedies" in asked.include:
        add_remedies(state.evaluator, asked, answer)
        if parts.misfits:
            # Parts that do not go together fail whatever else is changed.
            answer.pop("plan", None)
        watch.lap("remedies")
    return name_parts(state, answer, parts)


class _ReadBuild(NamedTuple):
    known: Known | SpecError
    parts: NamedParts


@CALLS.post(
    Post(
        path="/v1/evaluation-batches",
        request="BatchRequest",
        answer="Batch",
        gives="One entry a build, in order.",
        when="Call it to judge many builds without their reasons: verdict, value and margin of each check. "
        "Send a build alone for the working.",
        most=MAX_BATCH,
        is_long=True,
    )
)
def create_evaluation_batch(state: State, fields: dict[str, Any]) -> Answer:
    """Judge many builds in one call: one entry each, in order; a bad one does not spoil the rest."""
    builds: list[_ReadBuild] = []
    evaluator = state.evaluator.speaking(fields.get("units", "metric"))
    faulty = 0
    for build in fields["builds"]:
        builds.append(_read(state, evaluator, build, suggest=faulty < MOST_SUGGESTED))
        faulty += isinstance(builds[-1].known, SpecError)
    entries = evaluate_batch(
        evaluator,
        [build.known for build in builds],
        fields.get("checks", ()),
        fields.get("units", "metric"),
    )
    for entry, build in zip(entries, builds, strict=True):
        if build.parts.misfits:
            entry |= {"misfits": build.parts.misfits, "verdict": "fail"}
    answer = {
        "headline": batch_headline(entries),
        "builds": entries,
        "rulebook": state.evaluator.reporter.identity,
        "service": state.rulebook.version,
    }
    return name_parts(state, answer)


def _read(state: State, evaluator: Evaluator, build: dict[str, Any], suggest: bool) -> _ReadBuild:
    try:
        build, parts = with_parts(state, build, MOST_FAULTS, suggest)
        return _ReadBuild(evaluator.read(build, most=MOST_FAULTS), parts)
    except SpecError as error:
        return _ReadBuild(error, NO_PARTS)


@CALLS.post(
    Post(
        path="/v1/sweeps",
        request="SweepRequest",
        answer="Sweep",
        gives="Columns of equal length, one entry a candidate.",
        when="Call it to see where a verdict changes as one or more inputs move together. "
        "It judges; it does not choose.",
        most=MAX_BATCH,
        is_long=True,
    )
)
def create_sweep(state: State, fields: dict[str, Any]) -> Answer:
    """Judge one build over columns of candidate values: entry by entry they make one candidate."""
    parts = take_parts(state, fields)
    columns = fields["columns"]
    same_length({path: column.values for path, column in columns.items()})
    units = fields.get("units", "metric")
    evaluator = state.evaluator.speaking(units)
    known = evaluator.read(fields["build"])
    answer = evaluate_sweep(
        evaluator,
        known,
        {column.name: np.array(column.values) for column in columns.values()},
        fields.get("checks", ()),
        units,
    )
    return name_parts(state, answer, parts)
