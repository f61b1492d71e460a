"""The compression ratio built up from its volumes, in the units its sources were written in."""

import math

import pytest

CUBIC_INCH = 16.387064  # cc


def measures(bore, stroke, chamber, dish, gasket_thickness, deck):
    """Inches, and cc for what is poured."""
    return {
        "engine": {
            "bore": f"{bore} in",
            "stroke": f"{stroke} in",
            "chamber_volume": f"{chamber} cc",
            "piston_volume": f"{dish} cc",
            "gasket_bore": f"{bore} in",
            "gasket_thickness": f"{gasket_thickness} in",
            "deck_clearance": f"{deck} in",
        }
    }


# Common practice, worked examples of engine builders. 4.00 x 3.48 in: dish 0.305 in3, gasket 0.251328 in3
# (0.020 in), deck
# 0.41469 in3 (0.033 in) with a 64 cc chamber, then deck 0.62832 in3 (0.050 in) with 70 cc. 4.070 x 3.31 in:
# 67 cc of chamber, 6.5 cc of dish, 8.0 cc of gasket and deck.
@pytest.mark.parametrize(
    ("engine", "expected"),
    [
        (measures(4.00, 3.48, 3.906 * CUBIC_INCH, 0.305 * CUBIC_INCH, 0.020, 0.033), 9.9667),
        (measures(4.00, 3.48, 70, 0.305 * CUBIC_INCH, 0.020, 0.050), 9.0143),
        (measures(4.070, 3.31, 67, 6.5, 8.0 / CUBIC_INCH / (math.pi / 4 * 4.070**2), 0), 9.659),
    ],
)
def test_built_up(engine, expected, work_out):
    # Sources give the volumes to five digits.
    assert work_out(engine, "compression_ratio") == pytest.approx(expected, rel=1e-4)


def test_what_is_stated_and_what_is_built_up_are_compared(judged):
    # The same engine, told as 9.97:1, then as 11:1.
    engine = measures(4.00, 3.48, 64, 5.0, 0.020, 0.033)
    assert (
        judged("spec-consistency", {"engine": engine["engine"] | {"compression_ratio": 9.97}})["verdict"]
        == "pass"
    )
    assert (
        judged("spec-consistency", {"engine": engine["engine"] | {"compression_ratio": 11}})["verdict"]
        == "warn"
    )


def test_counted_from_the_closing_of_the_intake_valve(work_out):
    # Worked by hand: 4.00 x 3.48 in, rod 5.7 in, 10:1, closing 60 degrees after bottom dead centre: 2.8128 in
    # of stroke, 8.274.
    engine = {
        "bore": "4.00 in",
        "stroke": "3.48 in",
        "rod_length": "5.7 in",
        "compression_ratio": 10,
        "intake_valve_closing": "60 deg",
    }
    assert work_out({"engine": engine}, "compression_from_intake_closing") == pytest.approx(8.274, rel=1e-4)


def test_swept_volume(work_out):
    # Worked by hand: 4.070 x 3.31 in is 705.68 cc.
    assert work_out(
        {"engine": {"bore": "4.070 in", "stroke": "3.31 in"}}, "swept_volume"
    ) * 1e6 == pytest.approx(705.68, rel=1e-4)


def test_gasket_wider_than_the_bore_and_a_dome(work_out):
    # Worked by hand: 86 x 86 mm is 499.56 cc. Gasket 88 mm by 1.2 mm 7.299 cc, deck 0.5 mm 2.904 cc, chamber
    # 45 cc, dome 3 cc:
    # 52.203 cc, 10.570:1.
    engine = {
        "bore": "86 mm",
        "stroke": "86 mm",
        "chamber_volume": "45 cc",
        "piston_volume": "-3 cc",
        "gasket_bore": "88 mm",
        "gasket_thickness": "1.2 mm",
        "deck_clearance": "0.5 mm",
    }
    assert work_out({"engine": engine}, "clearance_volume") * 1e6 == pytest.approx(52.203, abs=0.002)
    assert work_out({"engine": engine}, "compression_ratio") == pytest.approx(10.570, abs=0.001)
