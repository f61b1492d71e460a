"""Figures of a dyno as clients write them, read into SI; every fault with its place."""

from math import nan

from service.errors import SpecError, SpecFault
from service.evaluation.reading.spec_in_hand import MAX_FAULTS
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


class FigureReader:
    """Collects the faults of one request, and where its figures were taken."""

    def __init__(self) -> None:
        self.faults: list[SpecFault] = []
        self.places: dict[str, str] = {}

    def number(self, value: object, form: NumberForm, pointer: str) -> float:
        """The figure in SI; not a number where it is faulty, and then the request is refused in the end."""
        # A word is looked for among all units for each; fifty thousand of them would take seconds.
        if len(self.faults) >= MAX_FAULTS:
            return nan
        reading = read_number(value, form)
        if isinstance(reading, Fault):
            self.faults.append(SpecFault(pointer, *reading))
            return nan
        if reading.spread:
            self.fault(
                pointer,
                "tolerance",
                "A figure of a pull takes no tolerance; its scatter shows in the other pulls.",
                "the number alone",
            )
        if reading.place:
            self.places[pointer] = reading.place
        return reading.value

    def numbers(self, values: list[object], form: NumberForm, pointer: str) -> list[float]:
        """A list of figures."""
        return [self.number(value, form, f"{pointer}/{position}") for position, value in enumerate(values)]

    def pulls(self, value: object, pointer: str, expected: str) -> list[object]:
        """A list of pulls, whatever each of them is; empty where it is none."""
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_PULLS:
            self.fault(pointer, "wrong-type", f"This is no list of 1 to {MOST_PULLS} pulls.", expected)
            return []
        return value

    def fault(self, pointer: str, code: str, detail: str, expected: str) -> None:
        """Note a fault at a place."""
        self.faults.append(SpecFault(pointer, code, detail, expected))

    def place(self) -> str | None:
        """Where all figures were taken, if any says so; SpecError with all faults."""
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
