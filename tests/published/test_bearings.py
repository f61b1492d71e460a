"""Main bearing clearances: the ranges and wear limits of workshop manuals, and what race builders give."""

import pytest

from tests.support.pint_units import UNIT

# Workshop manuals (no names): journal, least and most new clearance, wear limit, mm. Journals of the first
# and last two are from memory.
MANUALS = [
    ("5.7 L V8, 1997", 65.0, 0.020, 0.052, None),
    ("2.4 L four, 2006", 54.994, 0.024, 0.048, None),
    ("3.8 L V6, 2001", 63.993, 0.0127, 0.0584, None),
    ("2.8 L V6, 2004", 59.968, 0.02, 0.06, 0.10),
    ("2.5 L flat four, 2000", 60.0, 0.010, 0.030, 0.040),
    ("1.9 L four, 1998", 57.0, 0.006, 0.050, 0.06),
    ("0.65 L twin, 2006", 34.992, 0.010, 0.034, 0.06),
    ("2.3 L turbo four, 2008", 55.0, 0.017, 0.041, 0.050),
    ("0.6 L four, 2005", 33.0, 0.020, 0.038, 0.05),
]


def mains(journal, clearance, **rest):
    engine = {"main_journal_diameter": f"{journal} mm", "main_bearing_clearance": f"{clearance!r} mm"}
    return {"engine": engine} | rest


@pytest.mark.parametrize(("name", "journal", "least", "most", "worn"), MANUALS)
def test_no_maker_is_failed_anywhere_in_the_range(name, journal, least, most, worn, outcome):
    for reading in (least, (least + most) / 2, most):
        assert outcome("bearing-clearance", mains(journal, reading)) in ("pass", "warn"), name
    assert outcome("bearing-clearance", mains(journal, (least + most) / 2)) == "pass"


# A wear limit belongs to one engine; those looser than any new engine are warned of, and far past them all it
# fails.
@pytest.mark.parametrize(("journal", "worn"), [(59.968, 0.10), (34.992, 0.06), (33.0, 0.05)])
def test_past_the_wear_limit_never_passes(journal, worn, outcome):
    assert outcome("bearing-clearance", mains(journal, 1.02 * worn)) in ("warn", "fail")
    assert outcome("bearing-clearance", mains(journal, 0.0022 * journal)) == "fail"


def test_metal_to_metal(outcome):
    assert outcome("bearing-clearance", mains(65, 0.005)) == "warn"
    assert outcome("bearing-clearance", mains(65, 0.003)) == "fail"


def test_what_race_builders_give(work_out):
    # Common practice: 0.0010 in for each inch of journal and 0.0003 in; by hand 2.65 in: 0.00295 in.
    build = {"usage": "drag", "engine": {"main_journal_diameter": "2.65 in"}}
    assert (work_out(build, "race_bearing_clearance") * UNIT.meter).m_as("inch") == pytest.approx(0.00295)


def test_rolling_bearings_have_no_oil_clearance(outcome):
    build = mains(35, 0.003)
    build["engine"]["main_bearings"] = "rolling"
    assert outcome("bearing-clearance", build) == "not_applicable"
