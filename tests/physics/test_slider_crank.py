import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import gas
from service.physics import slider_crank as crank

INCH = 0.0254
CUBIC_INCH = INCH**3


# Worked by hand (computed); the volumes are a common textbook pair of a 4.00 x 3.48 in cylinder.
@pytest.mark.parametrize(
    ("dish", "deck", "gasket", "chamber", "expected"),
    [(0.305, 0.41469, 0.251328, 3.906, 9.9667), (0.305, 0.62832, 0.251328, 70 / 16.387064, 9.0143)],
)
def test_compression_ratio_from_volumes(dish, deck, gasket, chamber, expected):
    area = np.pi / 4 * 4.0**2
    clearance = crank.clearance_volume(
        chamber * CUBIC_INCH,
        dish * CUBIC_INCH,
        crank.Disc(4 * INCH, deck / area * INCH),
        crank.Disc(4 * INCH, gasket / area * INCH),
    )
    swept = crank.swept_volume(4 * INCH, 3.48 * INCH)
    assert crank.compression_ratio(swept, clearance) == pytest.approx(expected, abs=5e-4)


def test_compression_ratio_in_cubic_centimetres():
    # Worked by hand (computed): bore 4.070, stroke 3.31 in, 67 + 6.5 + 8.0 cm3.
    swept = crank.swept_volume(4.07 * INCH, 3.31 * INCH)
    assert swept * 1e6 == pytest.approx(705.68, abs=0.02)
    assert crank.compression_ratio(swept, 81.5e-6) == pytest.approx(9.659, abs=1e-3)


def test_dynamic_compression_ratio():
    # Worked by hand (computed): 4.00 x 3.48 in, rod 5.7 in, 10:1, intake closing 60 degrees after bottom dead
    # centre.
    closing = np.radians(60)
    assert crank.piston_travel(np.pi + closing, 3.48, 5.7) == pytest.approx(2.8128, abs=1e-4)
    assert crank.dynamic_compression_ratio(10.0, 5.7 / 3.48, closing) == pytest.approx(8.274, abs=1e-3)


def test_cranking_pressure():
    # Rule: common practice; number worked by hand.
    assert gas.polytropic_pressure(1.0, 7.5, 1.3) == pytest.approx(13.727, abs=5e-4)


def test_first_quarter_turn_covers_more_than_half_the_stroke():
    # Worked by hand (computed): stroke 4.0, rod 5.91 in.
    assert crank.piston_travel(np.pi / 2, 4.0, 5.91) / 4.0 == pytest.approx(0.587, abs=5e-4)


def test_deck_clearance():
    assert crank.deck_clearance(0.2286, 0.0884, 0.1448, 0.0396) == pytest.approx(0.0, abs=1e-9)
    assert crank.deck_clearance(0.2286, 0.0884, 0.1448, 0.0400) == pytest.approx(-0.0004)


@given(st.floats(-np.pi, np.pi), st.floats(4, 16), st.floats(1.3, 2.5), st.floats(0.06, 0.11))
def test_volume_from_the_position_of_the_pins(angle, ratio, rod_ratio, stroke):
    # Pins placed in the plane: the rod's length fixes the piston pin on the bore axis.
    radius, rod, bore = stroke / 2, rod_ratio * stroke, 0.09
    pin = complex(radius * np.cos(angle), radius * np.sin(angle))
    piston = pin.real + np.sqrt(rod**2 - pin.imag**2)
    area = np.pi / 4 * bore**2
    expected = area * stroke / (ratio - 1) + area * (radius + rod - piston)
    assert crank.cylinder_volume(angle, bore, stroke, rod, ratio) == pytest.approx(expected, rel=1e-12)


@given(st.floats(-np.pi, np.pi), st.floats(4, 16), st.floats(1.3, 2.5))
def test_ratios_from_the_position_of_the_pins(angle, ratio, rod_ratio):
    # Plane geometry: pins placed in the plane, lengths in strokes, volumes in swept volumes.
    crank_pin = complex(0.5 * np.cos(angle), 0.5 * np.sin(angle))
    piston_pin = crank_pin.real + np.sqrt(rod_ratio**2 - crank_pin.imag**2)
    clearance = 1 / (ratio - 1)
    volume = clearance + 0.5 + rod_ratio - piston_pin
    assert crank.volume_ratio(angle, ratio, rod_ratio) == pytest.approx(volume / (clearance + 1), rel=1e-12)
    after_bottom = angle - np.pi
    assert crank.dynamic_compression_ratio(ratio, rod_ratio, after_bottom) == pytest.approx(
        volume / clearance, rel=1e-9
    )


@given(st.floats(4, 16), st.floats(1.3, 2.5))
def test_dead_centres(ratio, rod_ratio):
    assert crank.volume_ratio(0.0, ratio, rod_ratio) == pytest.approx(1 / ratio)
    assert crank.volume_ratio(np.pi, ratio, rod_ratio) == pytest.approx(1.0)
    assert crank.dynamic_compression_ratio(ratio, rod_ratio, 0.0) == pytest.approx(ratio)


@pytest.mark.parametrize(("swept", "clearance"), [(0.0, 1.0), (1.0, 0.0), (1.0, -0.1)])
def test_volumes_must_be_positive(swept, clearance):
    with pytest.raises(ValueError, match="must be positive"):
        crank.compression_ratio(swept, clearance)
