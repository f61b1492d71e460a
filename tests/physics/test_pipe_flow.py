import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.physics import pipe_flow

LITRE_PER_HOUR = 1e-3 / 3600
PSI = 6894.757
FUEL = {"density": 745.0, "viscosity": 0.55e-6, "roughness": 1.5e-6}


# Worked by hand (computed): 4.5 m of line, petrol.
@pytest.mark.parametrize(
    ("flow", "bore", "drop"),
    [
        (340, 6.4, 7.67),
        (340, 7.9, 2.79),
        (340, 8.7, 1.75),
        (680, 8.7, 6.04),
        (680, 11.9, 1.34),
        (255, 6.4, 4.59),
    ],
)
def test_fuel_lines(flow, bore, drop):
    found = pipe_flow.pressure_drop(flow * LITRE_PER_HOUR, bore * 1e-3, 4.5, **FUEL)
    assert found / PSI == pytest.approx(drop, abs=0.01)


@pytest.mark.parametrize(("bore", "expected"), [(9.5, 1.332), (8.7, 1.589), (6.4, 2.94)])
def test_velocity(bore, expected):
    assert pipe_flow.velocity(340 * LITRE_PER_HOUR, bore * 1e-3) == pytest.approx(expected, abs=6e-3)


# Stated accuracy against the exact solution of Colebrook in fluids.
@given(st.floats(5e3, 1e7), st.floats(1e-6, 1e-2))
def test_friction_against_fluids(reynolds, roughness):
    exact = fluids.friction_factor(Re=reynolds, eD=roughness)
    assert pipe_flow.friction_factor(reynolds, roughness) == pytest.approx(exact, rel=0.03)


@pytest.mark.parametrize(("flow", "bore"), [(340, 6.4), (340, 8.7), (680, 8.7)])
def test_pressure_drop_against_fluids(flow, bore):
    flow, bore = flow * LITRE_PER_HOUR, bore * 1e-3
    reynolds = fluids.Reynolds(V=pipe_flow.velocity(flow, bore), D=bore, nu=0.55e-6)
    losses = fluids.K_from_f(fluids.friction_factor(reynolds, 1.5e-6 / bore), 4.5, bore)
    exact = fluids.dP_from_K(losses, rho=745.0, V=pipe_flow.velocity(flow, bore))
    assert pipe_flow.pressure_drop(flow, bore, 4.5, **FUEL) == pytest.approx(exact, rel=0.01)


@given(st.floats(1e-9, 1e-7))
def test_laminar_flow_is_hagen_poiseuille(flow):
    found = pipe_flow.pressure_drop(flow, 0.01, 2.0, 850.0, 1e-4, 0.0)
    assert found == pytest.approx(128 * 850.0 * 1e-4 * 2.0 * flow / (3.141592653589793 * 0.01**4))


def test_branches():
    assert pipe_flow.friction_factor(2000.0, 1e-4) == pytest.approx(0.032)
    assert pipe_flow.friction_factor(2400.0, 1e-4) > 0.04
    assert pipe_flow.reynolds_number(1e-4, 0.01, 1e-6) == pytest.approx(
        1e-4 * 4 / (3.141592653589793 * 0.01 * 1e-6)
    )
