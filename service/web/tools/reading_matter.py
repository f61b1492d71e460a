"""What a model may read besides: inputs by group, checks, sources, parts."""

from collections.abc import Iterator
from typing import NamedTuple
from urllib.parse import quote

import orjson

from service.web.tools.asking import Reply, Service
from service.web.tools.tool import answered

SCHEME = "engine-build-rules://"
# Inputs that belong to no group.
GENERAL = "general"


class Paper(NamedTuple):
    """Something to read: its address, and what is in it."""

    address: str
    name: str
    about: str


PAPERS = (
    Paper(f"{SCHEME}checks", "checks", "Every check, with what it judges"),
    Paper(f"{SCHEME}sources", "sources", "Where the numbers come from, and how far each may be trusted"),
    Paper(f"{SCHEME}parts", "parts", "The catalog by slot, with price and stock"),
)
PATTERNS = (
    Paper(f"{SCHEME}checks/{{id}}", "check", "One check: limits, sources, cautions, worked examples"),
    Paper(f"{SCHEME}inputs/{{group}}", "inputs", "The inputs of a group: names, units, questions"),
    Paper(f"{SCHEME}parts/{{number}}", "part", "One part: its figures, what it fits, price and stock"),
)


def papers(service: Service) -> Iterator[Paper]:
    """Everything of a fixed address."""
    paths = [entry["input"] for entry in answered(service.get("/v1/inputs"))["inputs"]]
    for group in dict.fromkeys(path.rpartition(".")[0] or GENERAL for path in paths):
        yield Paper(f"{SCHEME}inputs/{group}", f"inputs: {group}", f"What a build may say of `{group}`")
    yield from PAPERS


def read_paper(service: Service, address: str) -> str | None:
    """Its JSON, None where there is no such paper; RefusedError where it may not be read."""
    kind, _, name = address.removeprefix(SCHEME).partition("/")
    if not address.startswith(SCHEME) or kind not in ("checks", "inputs", "parts", "sources"):
        return None
    if kind == "inputs":
        return _inputs(service, name)
    reply = service.get(f"/v1/{kind}/{quote(name, safe='')}" if name else f"/v1/{kind}")
    return None if reply.status == 404 else _text(reply)


def _inputs(service: Service, group: str) -> str | None:
    if group != GENERAL:
        reply = service.get("/v1/inputs", {"group": group})
        return None if reply.status == 422 else _text(reply)
    entries = answered(service.get("/v1/inputs"))["inputs"]
    return orjson.dumps({"inputs": [entry for entry in entries if "." not in entry["input"]]}).decode()


def _text(reply: Reply) -> str:
    return orjson.dumps(answered(reply)).decode()
