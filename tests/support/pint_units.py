"""One registry of pint for all tests: making one costs half a second."""

import pint

UNIT = pint.UnitRegistry()
