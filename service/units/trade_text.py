"""Numbers as a counter writes them, put plainly: 6.5k, 3 1/2 in."""

import re
from fractions import Fraction

from service.units.number_form import NumberForm, show

_THOUSANDS = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?k(?= ?(?:rpm|r/min|mi|miles?|km|kms)?$)", re.IGNORECASE)
# What is counted in thousands, and the unit that goes without saying.
_COUNTED_IN_THOUSANDS = {"rotational_speed": "rpm", "distance": ""}
_FRACTION = re.compile(r"(?:(?<![0-9./-])([0-9]{1,3})[ -])?(?<![0-9./])([0-9]{1,2})/([0-9]{1,2})(?![0-9./])")
_SCALE_FIRST = re.compile(r"^([A-Za-z]+) ?([0-9]+(?:\.[0-9]+)?)$")
_ONE_SIGN = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def plainer(text: str, form: NumberForm) -> str:
    """The text with thousands and fractions of an inch written out."""
    for dimension, unit in _COUNTED_IN_THOUSANDS.items():
        if dimension in form.dimensions and (match := _THOUSANDS.search(text)):
            number = show(1000 * float(match[1]))
            text = f"{text[: match.start()]}{number} {text[match.end() :].strip() or unit}".rstrip()
    if "octane" in form.dimensions:
        text = _SCALE_FIRST.sub(r"\2 \1", text)
    if "length" in form.dimensions:
        for sign, fraction in _ONE_SIGN.items():
            text = text.replace(sign, f" {fraction}")
        text = _FRACTION.sub(_decimal, text.strip())
    return text


def _decimal(match: re.Match[str]) -> str:
    whole, over, under = match.groups()
    return show(float(int(whole or 0) + Fraction(int(over), int(under)))) if int(under) else match[0]
