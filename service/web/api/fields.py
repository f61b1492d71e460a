"""The fields of request bodies: what a client may write, read into what the service works with."""

import numpy
from marshmallow import ValidationError, fields

from service.advice.batches import MOST_BUILDS
from service.advice.sweeps import MOST_CANDIDATES
from service.evaluation.speed_curves import DEFAULT_COUNT, MOST_SPEEDS, SpeedRange
from service.rulebook.input import Input
from service.rulebook.names import identifier
from service.rulebook.rulebook import Rulebook
from service.units.choice_reading import nearest, read_count
from service.units.fault import Fault
from service.units.number_form import NumberForm, Reading
from service.units.reading import read_number

MOST_COLUMNS = 8
MOST_MONEY = 10_000_000
SPEED = NumberForm(
    label="Engine speed", dimensions=("rotational_speed",), possible={"rotational_speed": (10.0, 3000.0)}
)


class Build(fields.Field):
    """The build goes through untouched: it is read by the rulebook's own readers, one loop, SI out."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("wrong-type")
        return value


class Text(fields.String):
    """A string and nothing that can be turned into one."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, str):
            raise ValidationError("wrong-type")
        return value


class Words(fields.Field):
    """A list of words out of a set."""

    def __init__(self, words, least=0, most=None, **kwargs):
        self.words = words
        self.least = least
        self.most = most or len(words)
        super().__init__(**kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if (
            not isinstance(value, list)
            or not self.least <= len(value) <= self.most
            or not all(isinstance(word, str) for word in value)
        ):
            raise ValidationError("wrong-type")
        wrong = {position: word for position, word in enumerate(value) if word not in self.words}
        if wrong:
            raise ValidationError(wrong)
        return tuple(dict.fromkeys(value))


class Speeds(fields.Field):
    """From which to which speed, and how many."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("wrong-type")
        faults: dict[str, Fault] = {}
        ends = {}
        for key, given in value.items():
            if key in ("from", "to"):
                made = _alone(read_number(given, SPEED), SPEED)
            elif key == "count":
                made = read_count(given, "Number of speeds", (2, MOST_SPEEDS))
            else:
                made = Fault(
                    "unknown-key",
                    "There is no such word of a speed range.",
                    "from, to, count",
                    nearest(key[:64], ("from", "to", "count")),
                )
            if isinstance(made, Fault):
                faults[key] = made
            else:
                ends[key] = made if key == "count" else made.value
        if faults:
            raise ValidationError(faults)
        return SpeedRange(ends.get("from"), ends.get("to"), ends.get("count", DEFAULT_COUNT))


class Columns(fields.Field):
    """Columns of candidate values by input: a list, or from where to where and how many."""

    def __init__(self, rulebook: Rulebook, **kwargs):
        self.rulebook = rulebook
        super().__init__(**kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict) or not 1 <= len(value) <= MOST_COLUMNS:
            raise ValidationError("wrong-type")
        faults: dict[str, Fault] = {}
        columns: dict[str, tuple[str, list[float]]] = {}
        for path, given in value.items():
            one = self.rulebook.inputs.get(path)
            if one is None or one.kind not in ("number", "count"):
                close = nearest(
                    path[:64],
                    [
                        known.path
                        for known in self.rulebook.inputs.values()
                        if known.kind in ("number", "count")
                    ],
                )
                faults[path] = Fault(
                    "not-movable",
                    "There is no such number among the inputs.",
                    "the name of an input that is a number",
                    close,
                )
                continue
            made = _column(one, given)
            if isinstance(made, Fault):
                faults[path] = made
            else:
                columns[path] = made
        if faults:
            raise ValidationError(faults)
        return columns


def _alone(made: Reading | Fault, form: NumberForm) -> Reading | Fault:
    """A number without a tolerance, which would be lost here."""
    if isinstance(made, Reading) and made.spread:
        return form.fault("tolerance", "a tolerance has no place here; the number alone is wanted")
    return made


def _column(one: Input, given: object) -> tuple[str, list[float]] | Fault:
    """The identifier that a column fills and its values in SI."""
    wanted = Fault(
        "wrong-type",
        "This is no column of candidates.",
        '["8 psi", "9 psi", ...] or {"from": "5 psi", "to": "20 psi", "count": 100}',
    )
    if isinstance(given, dict):
        if (
            set(given) != {"from", "to", "count"}
            or not isinstance(given["count"], int)
            or not 2 <= given["count"] <= MOST_CANDIDATES
            or one.kind == "count"
        ):
            return wanted
        ends = [_value(one, given[end]) for end in ("from", "to")]
        fault = next((end for end in ends if isinstance(end, Fault)), None)
        if fault or ends[0][0] != ends[1][0]:
            return fault or wanted
        return ends[0][0], numpy.linspace(ends[0][1], ends[1][1], given["count"]).tolist()
    if not isinstance(given, list) or not 1 <= len(given) <= MOST_CANDIDATES:
        return wanted
    values = []
    for position, candidate in enumerate(given):
        value = _value(one, candidate)
        if isinstance(value, Fault):
            return value._replace(detail=f"Candidate {position}: {value.detail}")
        values.append(value)
    if len({name for name, _ in values}) > 1:
        return wanted
    return values[0][0], [value for _, value in values]


def _value(one: Input, given: object) -> tuple[str, float] | Fault:
    made = (
        read_count(given, one.label, one.possible_count)
        if one.kind == "count"
        else _alone(read_number(given, one.form), one.form)
    )
    if isinstance(made, Fault):
        return made
    return (
        (identifier(one.path), float(made))
        if one.kind == "count"
        else (identifier(one.words[made.dimension]), made.value)
    )


class Builds(fields.Field):
    """A list of builds; each is read by itself, so that a bad one does not spoil the rest."""

    def _deserialize(self, value, attr, data, **kwargs):
        if (
            not isinstance(value, list)
            or not 1 <= len(value) <= MOST_BUILDS
            or not all(isinstance(build, dict) for build in value)
        ):
            raise ValidationError("wrong-type")
        return value


class Money(fields.Field):
    """A budget in the currency of the catalog, to hundredths."""

    def _deserialize(self, value, attr, data, **kwargs):
        if type(value) not in (int, float) or not 0 <= value <= MOST_MONEY:
            raise ValidationError("wrong-type")
        return round(value * 100)
