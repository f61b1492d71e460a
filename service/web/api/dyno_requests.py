"""Pulls, weather and curves as clients write them, read into SI; every fault with its place."""

from service.dyno.answers import Pull
from service.dyno.pulls import Pulls
from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec import MAX_FAULTS
from service.units.fault import Fault
from service.units.number_form import NumberForm
from service.units.reading import read_number

MOST_PULLS = 50
MOST_POINTS = 500
FORMS = {
    "power": NumberForm(label="Power", dimensions=("power",), possible={"power": (1e3, 4e6)}, has_place=True),
    "torque": NumberForm(
        label="Torque", dimensions=("torque",), possible={"torque": (2.0, 1e4)}, has_place=True
    ),
    "air_pressure": NumberForm(
        label="Air pressure",
        dimensions=("pressure",),
        possible={"pressure": (5e4, 1.1e5)},
        reading="absolute",
    ),
    "air_temperature": NumberForm(
        label="Air temperature", dimensions=("temperature",), possible={"temperature": (230.0, 330.0)}
    ),
    "humidity": NumberForm(label="Relative humidity", dimensions=("ratio",), possible={"ratio": (0.0, 1.0)}),
    "speed": NumberForm(
        label="Engine speed", dimensions=("rotational_speed",), possible={"rotational_speed": (10.0, 3000.0)}
    ),
}
WEATHER = ("air_pressure", "air_temperature", "humidity")
# A difference may be small, and of either sign.
CLAIMED = {"power": (-1e6, 1e6), "torque": (-5e3, 5e3)}


class _Reader:
    """Collects the faults of one request, and where its figures were taken."""

    def __init__(self):
        self.faults: list[SpecFault] = []
        self.places: dict[str, str] = {}

    def number(self, value: object, form: NumberForm, pointer: str) -> float | None:
        # A word is looked for among all units for each; fifty thousand of them would take seconds.
        if len(self.faults) >= MAX_FAULTS:
            return None
        made = read_number(value, form)
        if isinstance(made, Fault):
            self.faults.append(SpecFault(pointer, *made))
            return None
        if made.spread:
            self.fault(
                pointer,
                "tolerance",
                "A figure of a pull takes no tolerance; its scatter shows in the other pulls.",
                "the number alone",
            )
        if made.place:
            self.places[pointer] = made.place
        return made.value

    def fault(self, pointer: str, code: str, detail: str, expected: str) -> None:
        self.faults.append(SpecFault(pointer, code, detail, expected))

    def done(self) -> str | None:
        """The one place that figures were taken at; SpecError with all faults."""
        if len(set(self.places.values())) > 1:
            for pointer, place in self.places.items():
                self.fault(
                    pointer,
                    "places-mixed",
                    f"This figure is at the {place}, others are not.",
                    "all figures at the crank or all at the wheels",
                )
        if self.faults:
            raise SpecError(self.faults[:MAX_FAULTS])
        return next(iter(self.places.values()), None)


def read_pulls(asked: dict) -> list[Pull]:
    """Pulls with their weather; weather given once counts for every pull that has none of its own."""
    reader, common = _Reader(), asked.get("weather", {})
    rows = _listed(reader, asked["pulls"], "/pulls", '[{"power": "300 hp"}, ...]')
    if not isinstance(common, dict):
        reader.fault(
            "/weather",
            "wrong-type",
            "The weather is no object.",
            '{"air_pressure": "990 hPa", "air_temperature": "25 degC", "humidity": "40 %"}',
        )
        common = {}
    pulls = []
    for position, row in enumerate(rows):
        pointer = f"/pulls/{position}"
        if (
            not isinstance(row, dict)
            or not set(row) <= {"power", "torque", *WEATHER}
            or not {"power", "torque"} & set(row)
        ):
            reader.fault(
                pointer,
                "wrong-type",
                "This is no pull.",
                "an object with power or torque, and its weather where that is not given once for all",
            )
            continue
        values = {
            word: reader.number(row[word], FORMS[word], f"{pointer}/{word}")
            for word in ("power", "torque")
            if word in row
        }
        for word in WEATHER:
            if word in row or word in common:
                values[word] = reader.number(
                    row.get(word, common.get(word)),
                    FORMS[word],
                    f"{pointer}/{word}" if word in row else f"/weather/{word}",
                )
            else:
                reader.fault(
                    pointer,
                    "missing",
                    f"{FORMS[word].label} of this pull is not given.",
                    f"{word} in the pull or in weather",
                )
        if not reader.faults:
            pulls.append(
                Pull(
                    values.get("power"),
                    values.get("torque"),
                    values["air_pressure"],
                    values["air_temperature"],
                    values["humidity"],
                )
            )
    reader.done()
    return pulls


def read_sides(asked: dict) -> tuple[str, object, object, float | None]:
    """The form of a comparison (pulls, curves or summaries), both sides in SI, and a claimed difference."""
    reader, quantity = _Reader(), asked["quantity"]
    form = FORMS[quantity]
    kinds = [_kind(asked[side]) for side in ("a", "b")]
    if None in kinds or len(set(kinds)) > 1:
        for side, kind in zip("ab", kinds):
            reader.fault(
                f"/{side}",
                "wrong-type",
                "Both sides have to be of one form.",
                '["285 hp", ...], or curves [[{"speed": "3000 rpm", "value": "200 hp"}, ...], ...], or {"mean": "285 hp", "count": 3}',
            )
        reader.done()
    read = {"pulls": _figures, "curves": _curves, "summaries": _summary}[kinds[0]]
    sides = [read(reader, asked[side], f"/{side}", form) for side in ("a", "b")]
    claimed = None
    if "claimed" in asked:
        dimension = form.dimensions[0]
        claimed = reader.number(
            asked["claimed"],
            NumberForm(
                label="Claimed difference",
                dimensions=form.dimensions,
                possible={dimension: CLAIMED[quantity]},
            ),
            "/claimed",
        )
    reader.done()
    return kinds[0], *sides, claimed


def read_measured(pulls: object) -> tuple[Pulls, str]:
    """The power of pulls, and the place where it was taken."""
    reader = _Reader()
    values = _figures(reader, pulls, "/pulls", FORMS["power"])
    if not reader.faults and len(reader.places) < len(values.values):
        reader.fault(
            "/pulls",
            "place-missing",
            "Crank or wheels is not said with every figure.",
            '"430 whp" or "500 bhp"',
        )
    return values, reader.done()


def _kind(side: object) -> str | None:
    if isinstance(side, dict):
        return "summaries"
    if isinstance(side, list) and side:
        return "curves" if all(isinstance(pull, list) for pull in side) else "pulls"
    return None


def _listed(reader: _Reader, value: object, pointer: str, expected: str) -> list:
    if not isinstance(value, list) or not 1 <= len(value) <= MOST_PULLS:
        reader.fault(pointer, "wrong-type", f"This is no list of 1 to {MOST_PULLS} pulls.", expected)
        return []
    return value


def _figures(reader: _Reader, side: object, pointer: str, form: NumberForm) -> Pulls | None:
    values = [
        reader.number(value, form, f"{pointer}/{position}")
        for position, value in enumerate(_listed(reader, side, pointer, '["285 hp", "286 hp", ...]'))
    ]
    return None if reader.faults else Pulls(tuple(values))


def _summary(reader: _Reader, side: dict, pointer: str, form: NumberForm) -> tuple[float, int] | None:
    if (
        set(side) != {"mean", "count"}
        or type(side["count"]) is not int
        or not 1 <= side["count"] <= MOST_PULLS
    ):
        reader.fault(pointer, "wrong-type", "This is no summary of pulls.", '{"mean": "285 hp", "count": 3}')
        return None
    return reader.number(side["mean"], form, f"{pointer}/mean"), side["count"]


def _curves(reader: _Reader, side: list, pointer: str, form: NumberForm) -> list:
    curves = []
    if len(side) < 2:
        reader.fault(
            pointer, "too-few", "Curves of one pull show no scatter.", "at least two pulls on each side"
        )
    for number, pull in enumerate(_listed(reader, side, pointer, "a list of pulls")):
        if not 2 <= len(pull) <= MOST_POINTS or not all(
            isinstance(point, dict) and set(point) == {"speed", "value"} for point in pull
        ):
            reader.fault(
                f"{pointer}/{number}",
                "wrong-type",
                f"This is no curve of 2 to {MOST_POINTS} points.",
                '[{"speed": "3000 rpm", "value": "200 hp"}, ...]',
            )
            continue
        speeds = [
            reader.number(point["speed"], FORMS["speed"], f"{pointer}/{number}/{place}/speed")
            for place, point in enumerate(pull)
        ]
        curves.append(
            (
                speeds,
                [
                    reader.number(point["value"], form, f"{pointer}/{number}/{place}/value")
                    for place, point in enumerate(pull)
                ],
            )
        )
        if None not in speeds and len(set(speeds)) < len(speeds):
            reader.fault(
                f"{pointer}/{number}",
                "not-a-curve",
                "This curve has two points at one speed.",
                "one value for each speed",
            )
    if not reader.faults and max(min(speeds) for speeds, _ in curves) >= min(
        max(speeds) for speeds, _ in curves
    ):
        reader.fault(
            pointer, "not-a-curve", "The pulls of this side have no speeds in common.", "curves that overlap"
        )
    return curves
