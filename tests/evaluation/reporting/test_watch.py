"""What to watch at a moment: the checks' own values and limits, and never another verdict."""

import shutil
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from service.errors import SpecError
from service.evaluation.evaluate import Evaluator
from service.evaluation.request import Request
from service.rulebook.load import load_rulebook
from tests.support.places import WINCH_RULES

numpy_remarks = pytest.mark.filterwarnings("ignore::RuntimeWarning")
UNSHRUNK = [Phase.explicit, Phase.generate]

MOMENTS = """
rigging:
  label: while it is rigged
lifting:
  label: while it lifts
  watch:
    - signal: Anchor bolts
      expect: "loaded with {pull in N}"
      stop_at: any movement
    - signal: Rope at slow
      expect: "{rope_speed at slow}"
      stop_at: jerks
"""
# Added to a check of the winch: what it watches while it lifts.
WATCHES = {
    "rope-strength": "watch:\n  signal: Strength left\n  moments: [lifting]\n",
    "rope-speed": "watch:\n  signal: Rope speed\n  moments: [lifting]\n",
    "rope-safety": "watch:\n  signal: Safety\n  moments: [lifting]\n",
    "stretch": (
        "watch:\n  signal: Clearance\n  moments: [lifting]\n"
        '  expect: "{stretch in mm} used"\n  stop_at: "{load.clearance in mm}"\n'
    ),
    # Fails by another quantity than its own.
    "strand-stress": "watch:\n  signal: Stress\n  moments: [lifting]\n",
}
CAUTIONS = """
pinched-hands:
  text: Ropes pinch hands.
  moments: [rigging]
swinging-load:
  text: Loads swing.
  moments: [lifting, rigging]
"""


@pytest.fixture(scope="module", params=["compiled", "reference"])
def watched(request, tmp_path_factory):
    """The watch list of a winch at a moment, by signal."""
    folder = Path(shutil.copytree(WINCH_RULES, tmp_path_factory.mktemp("watch") / "rules"))
    (folder / "moments.yaml").write_text(MOMENTS)
    (folder / "cautions.yaml").write_text((folder / "cautions.yaml").read_text() + CAUTIONS)
    for check, text in WATCHES.items():
        path = folder / "checks" / f"{check}.yaml"
        path.write_text(path.read_text() + text)
    path = folder / "checks" / "strand-stress.yaml"
    path.write_text(
        path.read_text().replace(
            "  fail:\n    below: 0.5 MPa\n    above: 8 MPa\n    source: invented",
            "  fail:\n    - above: 8 MPa\n      source: invented\n    - judges: pull\n      above: 500 N\n"
            "      source: invented\n"
            "      text:\n        - The load pulls with {value}.",
        )
    )
    path = folder / "checks" / "rope-strength.yaml"
    path.write_text(
        path.read_text().replace(
            "caution: [falling-load]", "caution: [falling-load, pinched-hands, swinging-load]"
        )
    )
    evaluator = Evaluator(load_rulebook(folder, request.param))
    return lambda build, moment="lifting", **rest: evaluator.evaluate(Request(build, moment=moment, **rest))


def items(reply):
    return {item["signal"]: (item["expect"], item["stop_at"]) for item in reply["watch"]}


def test_value_and_fail_limit_of_the_check(watched):
    # 300 N on 100 N is 3 times; it breaks at once.
    assert items(watched({"load": {"force": "100 N"}, "rope": {"strength": "300 N"}}))["Strength left"] == (
        "3",
        "1",
    )


def test_warn_limit_where_it_never_fails(watched):
    # 300 N over 100 N over the 2 that steel wants.
    assert items(watched({"load": {"force": "100 N"}, "rope": {"strength": "300 N", "material": "steel"}}))[
        "Safety"
    ] == ("1.5", "1")


def test_at_the_point_that_decided(watched):
    build = {"winch": {"radius": "1 m", "slow_speed": "2 rad/s", "speed": "7 rad/s"}}
    assert items(watched(build))["Rope speed"] == ("7 m/s", "20 m/s")
    assert items(watched(build, units="us"))["Rope speed"] == ("23 ft/s", "65.6 ft/s")


def test_own_sentences(watched):
    stretch = [{"pull": "0 N", "length": "0 mm"}, {"pull": "200 N", "length": "20 mm"}]
    assert items(watched({"load": {"force": "100 N", "clearance": "50 mm"}, "rope": {"stretch": stretch}}))[
        "Clearance"
    ] == ("10 mm used", "50 mm")


def test_the_signal_is_the_checks_own_even_if_another_quantity_decides(watched):
    # 600 N on 3 cm2 is 2 MPa, of 8 MPa; the pull is past its 500 N.
    reply = watched({"load": {"force": "600 N"}, "rope": {"area": "3 cm2"}})
    entry = next(entry for entry in reply["checks"] if entry["check"] == "strand-stress")
    assert (entry["verdict"], entry["value"]["text"]) == ("fail", "600 N")
    assert items(reply)["Stress"] == ("2 MPa", "8 MPa")


@pytest.mark.parametrize("checks", [(), ("rope-speed",), ("anchor",)])
def test_what_belongs_to_no_check(watched, checks):
    build = {
        "load": {"force": "100 N"},
        "winch": {"radius": "1 m", "slow_speed": "2 rad/s", "speed": "7 rad/s"},
    }
    signals = items(watched(build, checks=checks))
    assert signals["Anchor bolts"] == ("loaded with 100 N", "any movement")
    assert signals["Rope at slow"] == ("2 m/s", "jerks")


def test_what_cannot_be_said_is_left_out(watched):
    signals = items(watched({"load": {"force": "100 N"}}))
    assert set(signals) == {"Anchor bolts"}
    assert items(watched({"rope": {"area": "1 cm2"}})) == {}


def test_other_moments_have_other_lists(watched):
    build = {"load": {"force": "100 N"}, "rope": {"strength": "300 N"}}
    assert watched(build, "rigging")["watch"] == []
    assert "watch" not in watched(build, None)
    assert "watch" not in watched(build, detail="spoken")


def test_cautions_by_moment(watched):
    def cautions(moment):
        # 150 N on 100 N warns, so its cautions are printed.
        [entry] = watched(
            {"load": {"force": "100 N"}, "rope": {"strength": "150 N"}}, moment, checks=("rope-strength",)
        )["checks"]
        return entry["cautions"]

    falling, pinched, swinging = "Never stand under a load.", "Ropes pinch hands.", "Loads swing."
    assert cautions(None) == [falling, pinched, swinging]
    assert cautions("rigging") == [falling, pinched, swinging]
    assert cautions("lifting") == [falling, swinging]


@pytest.mark.slow
@numpy_remarks
@given(data=st.data(), detail=st.sampled_from(["spoken", "summary", "full"]))
@settings(max_examples=25, phases=UNSHRUNK)
def test_a_moment_never_changes_a_verdict(both, builds, data, detail):
    build = data.draw(builds)
    for evaluator in both:
        try:
            alone = evaluator.evaluate(Request(build, detail=detail))
        except SpecError:
            return
        for moment in evaluator.rulebook.moments:
            reply = evaluator.evaluate(Request(build, detail=detail, moment=moment))
            for signals in (alone, reply):
                for key in ("watch", "evaluation"):
                    signals.pop(key, None)
                for entry in signals.get("checks", ()):
                    entry.pop("cautions", None)
            assert reply == alone


@pytest.mark.slow
@numpy_remarks
@given(data=st.data())
@settings(max_examples=25, phases=UNSHRUNK)
def test_every_item_says_all_of_it(both, builds, data):
    build = data.draw(builds)
    for moment in both[0].rulebook.moments:
        try:
            watch = [evaluator.evaluate(Request(build, moment=moment))["watch"] for evaluator in both]
        except SpecError:
            return
        assert watch[0] == watch[1]
        for item in watch[0]:
            assert set(item) == {"signal", "expect", "stop_at"}
            assert all(text and "nan" not in text and "{" not in text for text in item.values()), item
        assert len({item["signal"] for item in watch[0]}) == len(watch[0])


def test_a_boosted_build_on_the_dyno(reply_to):
    build = {
        "usage": "street",
        "induction": {"kind": "screw", "boost": "12 psi"},
        "sensors": {"boost_cut": "15 psi"},
        "fuel": {
            "air_fuel_lambda": 0.8,
            "grade": "premium_91_aki",
            "brake_specific_consumption": "0.60 lb/hp/h",
        },
        # 480 hp at 0.60 lb/hp/h over eight injectors of 45 lb/h is 80 %, by hand; the fuel pressure is held.
        "target": {"power": "480 hp", "power_at": "crank"},
        "fuel_system": {
            "delivery": "port",
            "injector_count": 8,
            "injector_flow": "45 lb/h",
            "injector_rated_fluid": "petrol",
            "rail_pressure": "43.5 psi",
            "injector_rated_pressure": "43.5 psi",
            "boost_referenced": "yes",
        },
        "exhaust": {"gas_temperature": "800 °C"},
    }
    signals = items(reply_to(build, moment="dyno"))
    assert signals["Boost"] == ("12 psi", "15 psi")
    assert signals["Lambda"] == ("0.8", "0.92")
    assert signals["Injector duty"] == ("80 %", "92 %")
    assert signals["Fuel pressure at full boost, as a share of its rating"] == ("100 %", "60 %")
    assert signals["Exhaust temperature"] == ("800 °C", "980 °C")
    assert signals["Knock"] == ("none", "any repeated count")
    assert "Oil pressure hot, for each 1000 rpm" not in signals
    # At the first start it runs without load: what is watched under load is no matter then.
    start = items(reply_to(build, moment="start"))
    assert "Lambda" not in start and start["Boost"] == ("12 psi", "15 psi")


def test_a_carburettor_pushed_back_by_boost_is_watched_in_its_own_unit(reply_to):
    # 6.5 psi of fuel against 8 psi of boost fails by the pressure left, -1.5 psi; the signal is a share.
    build = {
        "induction": {"kind": "roots", "boost": "8 psi"},
        "fuel_system": {"delivery": "carburettor", "rail_pressure": "6.5 psi", "boost_referenced": "no"},
    }
    reply = reply_to(build, moment="dyno", checks=("fuel-pressure",))
    assert reply["checks"][0]["verdict"] == "fail"
    expect, stop_at = items(reply)["Fuel pressure at full boost, as a share of its rating"]
    assert expect.endswith(" %") and stop_at == "60 %"
