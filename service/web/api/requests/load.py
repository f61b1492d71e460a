"""A body becomes the fields of a request, or a SpecError with every fault in it."""

from collections.abc import Iterator, Mapping
from itertools import chain, islice
from typing import Any, NamedTuple, cast

from marshmallow import RAISE, Schema, ValidationError

from service.errors import SpecError, SpecFault
from service.evaluation.reading.dotted import nested
from service.evaluation.reading.spec import SpecReader, pointer_part
from service.evaluation.reading.spec_in_hand import MAX_FAULTS
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest
from service.units.fault import Fault
from service.web.api.requests.request_field import WHOLE
from service.web.api.requests.requests import PINS, requests


class LoadedRequest(NamedTuple):
    """The fields of a request, and the digests it pins."""

    fields: dict[str, Any]
    pinned: dict[str, str]


class RequestLoader:
    """Loads bodies for one rulebook."""

    def __init__(self, rulebook: Rulebook, reader: SpecReader):
        self.reader = reader
        self.groups = {source.group for source in rulebook.inputs.values() if source.group}
        self.build_keys = {source.group or source.name for source in rulebook.inputs.values()}
        self.schemas = {
            name: Schema.from_dict(dict(fields), name=name)(unknown=RAISE)
            for name, fields in requests(rulebook).items()
        }

    def load(self, name: str, body: dict[str, Any]) -> LoadedRequest:
        """The fields of a body for the request of this name; SpecError with every fault in it."""
        schema = self.schemas[name]
        body = self._nested(body)
        try:
            fields = schema.load(body)
        except ValidationError as error:
            # By field, since every fault is of one.
            messages = cast("dict[str, Any]", error.messages)
            faults = chain(self._faults(schema, body, messages), self._build_faults(body))
            raise SpecError(list(islice(faults, MAX_FAULTS))) from error
        return LoadedRequest(fields, {what: fields.pop(what) for what in PINS if what in fields})

    def _nested(self, body: dict[str, Any]) -> dict[str, Any]:
        """The body with its builds in groups."""
        grouped: dict[str, Any] = {
            key: nested(body[key], self.groups)
            for key in ("build", "change")
            if isinstance(body.get(key), dict)
        }
        if isinstance(body.get("builds"), list):
            # Each is a build, or an object that holds one.
            grouped["builds"] = [
                nested(self._nested(build), self.groups) if isinstance(build, dict) else build
                for build in body["builds"]
            ]
        return body | grouped

    def _faults(
        self, schema: Schema, body: dict[str, Any], messages: Mapping[str, Any]
    ) -> Iterator[SpecFault]:
        for key in schema.fields:
            for place, fault in messages.get(key, {}).items():
                pointer = f"/{key}" if place == WHOLE else f"/{key}/{pointer_part(str(place))}"
                yield SpecFault(pointer, *fault)
        for key in body:
            if key not in schema.fields:
                yield SpecFault(f"/{pointer_part(key)}", *self._unknown_key(schema, key))

    def _unknown_key(self, schema: Schema, key: str) -> Fault:
        if key in self.build_keys:
            return Fault("unknown-key", "This belongs inside the build.", "build", f"build.{key}")
        close = nearest(key[:64], schema.fields)
        return Fault("unknown-key", "A request has no such field.", ", ".join(schema.fields), close)

    def _build_faults(self, body: dict[str, Any]) -> list[SpecFault]:
        """The faults inside the build, so that one answer names all of them."""
        if not isinstance(body.get("build"), dict):
            return []
        try:
            self.reader.read({key: value for key, value in body["build"].items() if key != "parts"})
        except SpecError as error:
            return error.faults
        return []
