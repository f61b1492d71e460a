"""Request fields of the dyno calls; each is read with its neighbours, for one says what another means."""

from typing import Any

from service.web.api.json_schema import Schema, closed, described, list_of, quantity, record
from service.web.api.requests.figures import FORMS, MOST_POINTS, MOST_PULLS
from service.web.api.requests.pulls import WEATHER
from service.web.api.requests.request_field import RequestField


def _figure(word: str) -> Schema:
    return quantity(FORMS[word].dimensions)


_WEATHER = {word: _figure(word) for word in WEATHER}
_COUNT: Schema = {"type": "integer", "minimum": 1, "maximum": MOST_PULLS}


class _ReadLater(RequestField):
    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        return value


class PullsInWeather(_ReadLater):
    """Pulls to be corrected."""

    expected = "a list of pulls"
    example = '{"pulls": [...]}'

    def shape(self) -> Schema:
        outputs = {word: _figure(word) for word in ("power", "torque")}
        return list_of(closed(record({}, outputs | _WEATHER)), 1, MOST_PULLS)


class Weather(_ReadLater):
    """The weather of all pulls that have none of their own."""

    expected = "an object"

    def shape(self) -> Schema:
        return closed(record({}, _WEATHER))


class MeasuredPower(_ReadLater):
    """The pulls that a build is held against."""

    expected = "a list of pulls"
    example = '{"pulls": [...]}'

    def shape(self) -> Schema:
        power = described(_figure("power"), "Power with its place: 430 whp, 500 bhp.")
        return list_of(power, 1, MOST_PULLS)


class Side(_ReadLater):
    """One side of a comparison."""

    expected = "pulls"
    example = "pulls, curves or a summary"

    def shape(self) -> Schema:
        figure = quantity(("power", "torque"))
        point = closed(record({"speed": _figure("speed"), "value": figure}))
        return {
            "oneOf": [
                list_of(figure, 1, MOST_PULLS),
                list_of(list_of(point, 2, MOST_POINTS), 2, MOST_PULLS),
                closed(record({"mean": figure, "count": _COUNT})),
            ],
        }


class Claimed(_ReadLater):
    """The difference that somebody claims."""

    expected = "a number with its unit"

    def shape(self) -> Schema:
        return quantity(("power", "torque"))
