"""A tool: its name, what a model reads of it, and what it answers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from service.web.api.json_schema import Schema
from service.web.tools.asking import Reply, Service
from service.web.tools.refusal import refusal_text

Arguments = Mapping[str, Any]


class ToolAnswer(NamedTuple):
    """What a model gets: a text to read out, the same in fields, and whether the request has to be fixed."""

    text: str
    content: dict[str, Any] | None = None
    is_fault: bool = False


class RefusedError(Exception):
    """The service refused a call of a tool."""

    def __init__(self, reply: Reply):
        self.reply = reply
        super().__init__(reply.body.get("detail", ""))


@dataclass(frozen=True)
class Tool:
    """One tool."""

    name: str
    title: str
    about: str
    properties: Mapping[str, Schema]
    required: tuple[str, ...]
    work: Callable[[Service, Arguments], ToolAnswer]

    @property
    def schema(self) -> Schema:
        """What its arguments may be; what they hold is read by the service, which explains what is wrong."""
        return {"type": "object", "properties": dict(self.properties), "required": list(self.required)}

    def answer(self, service: Service, given: Arguments) -> ToolAnswer:
        """The answer; a refusal is one too, in words that say how to fix the request."""
        unknown = [name for name in given if name not in self.properties]
        if unknown:
            names = ", ".join(self.properties)
            return ToolAnswer(
                f"{self.name} has no argument {unknown[0][:64]!r}; it has: {names}.", None, True
            )
        try:
            return self.work(service, given)
        except RefusedError as error:
            return ToolAnswer(refusal_text(error.reply.body), None, True)


def answered(reply: Reply) -> dict[str, Any]:
    """The body of an answer; RefusedError where it is a problem."""
    if reply.status != 200:
        raise RefusedError(reply)
    return reply.body


def picked(given: Arguments, *names: str) -> dict[str, Any]:
    """Those of the arguments that were given."""
    return {name: given[name] for name in names if name in given}
