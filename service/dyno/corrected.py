"""The answer to pulls that are to be brought to a standard's weather."""

from dataclasses import dataclass

from service.dyno.answers import closing
from service.dyno.weather import BELIEVED_WITHIN, Correction, corrections
from service.evaluation.evaluate import Evaluator
from service.evaluation.reporting.display import Display
from service.json_object import JsonObject

# A boost-controlled turbo holds its boost whatever the weather; correcting it up flatters it (proposal
# GRPE-70-02, 2014).
CORRECTED_UP = 1.03


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull in SI: power or torque or both, and its weather."""

    power: float | None
    torque: float | None
    pressure: float
    temperature: float
    humidity: float


def corrected(evaluator: Evaluator, pulls: list[Pull], boost_controlled: bool, units: str) -> JsonObject:
    """Each pull as measured, then by every standard."""
    writer = _CorrectionWriter(evaluator.writer.display, boost_controlled, units)
    answers = [writer.pull(pull) for pull in pulls]
    return {"pulls": answers} | closing(evaluator, writer.text(pulls[0]))


class _CorrectionWriter:
    def __init__(self, display: Display, boost_controlled: bool, units: str):
        self.display, self.boost_controlled, self.units = display, boost_controlled, units

    def pull(self, pull: Pull) -> JsonObject:
        by_standard = corrections(pull.pressure, pull.temperature, pull.humidity)
        entries = [self._entry(pull, correction) for correction in by_standard]
        if self.boost_controlled:
            # The rule of ISO 1585 for spark ignition with held boost, from memory.
            name = {
                "standard": "iso_1585_held_boost",
                "name": "ISO 1585, boost held by control",
                "factor": 1.0,
            }
            entries.append(name | self._figures(pull, 1.0) | {"within_range": True, "comparable": True})
        return {"uncorrected": self._figures(pull, 1.0), "corrections": entries}

    def text(self, pull: Pull) -> str:
        """What one pull comes to, whichever standard is asked."""
        dimension = "power" if pull.power is not None else "torque"
        value = pull.power if pull.power is not None else pull.torque
        assert value is not None, "a pull has a power or a torque"
        factors = [one.factor for one in corrections(pull.pressure, pull.temperature, pull.humidity)]
        shower = self.display.shower(dimension, self.units)
        span = shower.between(value * min(factors), value * max(factors))
        return f"Corrected, the first pull makes {span} by standard; it measured {shower.text(value)}."

    def _entry(self, pull: Pull, correction: Correction) -> JsonObject:
        entry: JsonObject = {
            "standard": correction.word,
            "name": correction.name,
            "factor": round(correction.factor, 5),
        }
        entry |= self._figures(pull, correction.factor)
        entry |= {"within_range": not correction.outside, "comparable": correction.comparable}
        remarks = [correction.outside] if correction.outside else []
        if not correction.comparable:
            far = f": the weather is more than {100 * BELIEVED_WITHIN:.0f} % from the standard"
            reason = "" if correction.outside else far
            remarks.append(f"It is not to be compared with a figure from another place{reason}.")
        if self.boost_controlled and correction.factor > CORRECTED_UP:
            remarks.append(
                "A turbo with controlled boost makes up for thin air by itself; corrected up like this it is "
                "corrected twice. Take factor 1."
            )
            entry |= {"comparable": False, "factor_1": self._figures(pull, 1.0)}
        if remarks:
            entry["text"] = " ".join(remarks)
        return entry

    def _figures(self, pull: Pull, factor: float) -> JsonObject:
        """Power and torque, where they are given, times a factor."""
        return {
            dimension: self.display.shower(dimension, self.units).measure(value * factor)
            for dimension, value in (("power", pull.power), ("torque", pull.torque))
            if value is not None
        }
