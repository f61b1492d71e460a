"""What a counter writes into the fields of the real rules, and what is repeated of it."""

import pytest

from service.errors import SpecError
from service.evaluation.reading.dotted import nested
from service.units.units import to_si
from tests.proof.unit_strings import offers


def placed(path, value):
    group, _, name = path.rpartition(".")
    return {group: {name: value}} if group else {name: value}


@pytest.fixture(scope="module")
def read(real_rules):
    return lambda path, value, units="metric": real_rules.speaking(units).reader.read(placed(path, value))


@pytest.fixture(scope="module")
def refused(read):
    """The one fault of a value."""

    def fault(path, value):
        with pytest.raises(SpecError) as refusal:
            read(path, value)
        [only] = refusal.value.faults
        return only

    return fault


NUMBERS = [
    # field, what is written, the number that is known by its input, what is repeated
    ("fuel_system.injector_flow", "42#", {"fuel_system.injector_flow_by_mass": "42 lb/h"}, "42 lb/h"),
    ("fuel_system.injector_flow", "42 lb", {"fuel_system.injector_flow_by_mass": "42 lb/h"}, "42 lb/h"),
    (
        "fuel_system.injector_flow",
        "1000cc",
        {"fuel_system.injector_flow_by_volume": "1000 cc/min"},
        "1000 cc/min",
    ),
    ("engine.displacement", "1000cc", {"engine.displacement": "1000 cc"}, None),
    (
        "induction.compressor_rating",
        "60 lb",
        {"induction.compressor_rating_by_mass": "60 lb/min"},
        "60 lb/min",
    ),
    ("induction.boost", "10 pounds", {"induction.boost": "10 psi"}, "10 psi"),
    ("cooling.cap_pressure", "16 lb", {"cooling.cap_pressure": "16 psi"}, "16 psi"),
    ("engine.redline", "11,000 rpm", {"engine.redline": "11000 rpm"}, "11000 rpm"),
    ("engine.redline", "6.5k", {"engine.redline": "6500 rpm"}, "6500 rpm"),
    ("induction.nitrous_power", "150 shot", {"induction.nitrous_power": "150 hp"}, "150 hp"),
    ("target.torque", "500 foot pounds", {"target.torque": "500 lb-ft"}, "500 lb-ft"),
    (
        "induction.blower_pulley_diameter",
        "3 1/2 in",
        {"induction.blower_pulley_diameter": "3.5 in"},
        "3.5 in",
    ),
    ("fuel_system.supply_line_bore", "3/8 in", {"fuel_system.supply_line_bore": "0.375 in"}, "0.375 in"),
    ("fuel.octane", "93 AKI", {"fuel.aki": "93"}, "93 AKI"),
    ("fuel.ron", "93 AKI", {"fuel.aki": "93"}, "93 AKI"),
    ("fuel.aki", "98 RON", {"fuel.ron": "98"}, "98 RON"),
    ("fuel.octane", "RON 98", {"fuel.ron": "98"}, "98 RON"),
    ("fuel.octane", "93 (R+M)/2", {"fuel.aki": "93"}, None),
    ("fuel.ron", "98 octane", {"fuel.ron": "98"}, "98"),
    ("fuel.octane", "93 octane", {"fuel.octane": "93"}, "93"),
    ("fuel.grade", "93 octane", {"fuel.octane": "93"}, "93"),
    ("fuel.grade", "93 AKI", {"fuel.aki": "93"}, "93 AKI"),
    ("fuel.grade", "super 98 RON", {"fuel.ron": "98"}, "98 RON"),
    ("fuel.grade", "E60", {"fuel.ethanol": "0.6"}, "E60 = 0.6"),
    (
        "fuel_system.pump_flow",
        "340 lph @ 58 psi",
        {"fuel_system.pump_flow_by_volume": "340 L/h", "fuel_system.pump_rated_pressure": "58 psi"},
        "340 L/h at 58 psi",
    ),
    (
        "fuel_system.pump_flow",
        "255 L/h at 3 bar and 13.5 V",
        {
            "fuel_system.pump_flow_by_volume": "255 L/h",
            "fuel_system.pump_rated_pressure": "3 bar",
            "fuel_system.pump_rated_voltage": "13.5 V",
        },
        "255 L/h at 3 bar and 13.5 V",
    ),
    (
        "fuel_system.injector_flow",
        "42 lb/hr @ 43.5 psi",
        {"fuel_system.injector_flow_by_mass": "42 lb/h", "fuel_system.injector_rated_pressure": "43.5 psi"},
        "42 lb/h at 43.5 psi",
    ),
    (
        "intake.carburettor_flow",
        "750 cfm at 1.5 inHg",
        {"intake.carburettor_flow": "750 cfm", "intake.carburettor_rating_depression": "1.5 inHg"},
        "750 cfm at 1.5 inHg",
    ),
]


def known_numbers(real_rules, expected):
    words = {
        word: dimension
        for field in real_rules.rulebook.inputs.values()
        for dimension, word in field.words.items()
    }
    return {
        name.replace(".", "__"): pytest.approx(to_si(text, words[name]), rel=1e-9)
        for name, text in expected.items()
    }


@pytest.mark.parametrize(
    ("path", "written", "known", "note"), NUMBERS, ids=[f"{r[0]}: {r[1]}" for r in NUMBERS]
)
def test_a_number_is_taken_and_repeated(read, real_rules, path, written, known, note):
    taken = read(path, written)
    assert taken.numbers == known_numbers(real_rules, known)
    if note and "=" not in note:
        assert [text for _, text in taken.understood] == [note]
        assert read(path, note).numbers == taken.numbers


WORDS = [
    ("fuel.grade", "gasoline", "petrol"),
    ("fuel.grade", "pump gas", "petrol"),
    ("fuel.grade", "petrol", "petrol"),
    ("fuel.grade", "flex fuel", "e85"),
    ("induction.kind", "blown", "supercharged"),
    ("induction.kind", "Roots blower", "roots"),
    ("induction.kind", "twin screw", "screw"),
    ("induction.kind", "centri", "centrifugal"),
    ("induction.kind", "n/a", "natural"),
    ("induction.kind", "NA", "natural"),
    ("induction.kind", "naturally aspirated", "natural"),
    ("induction.kind", "atmo", "natural"),
    ("induction.kind", "twin-turbo", "turbo"),
    ("fuel_system.delivery", "carb", "carburettor"),
    ("fuel_system.delivery", "EFI", "port"),
    ("fuel_system.delivery", "MPI", "port"),
    ("fuel_system.delivery", "DI", "direct"),
    ("usage", "boat", "marine"),
    ("driveline.gearbox", "auto", "automatic"),
    ("driveline.gearbox", "manual", "manual"),
    ("driveline.gearbox", "stick", "manual"),
    ("target.power_at", "at the wheels", "wheels"),
    ("target.power_at", "at the crank", "crank"),
]


@pytest.mark.parametrize(("path", "written", "choice"), WORDS, ids=[f"{r[0]}: {r[1]}" for r in WORDS])
def test_a_trade_word_is_taken(read, path, written, choice):
    assert read(path, written).choices == {path: choice}


# The words of a question, and what its field makes of them.
ASKED = [
    ("engine.valve_drive", ["buckets", "rockers or fingers", "pushrods"]),
    ("engine.head_stud_lubricant", ["dry", "oiled", "greased"]),
    (
        "induction.kind",
        ["naturally aspirated", "turbocharged", "supercharged", "Roots", "twin-screw", "centrifugal"],
    ),
    ("induction.crank_pulley_fixing", ["a press fit", "a bolt and key", "two keys", "pins"]),
    ("charge_cooling.kind", ["air-to-air cooler", "liquid cooler", "nothing"]),
    ("intake.throttle_location", ["ahead of the compressor", "after it"]),
    ("intake.carburettor_barrels", ["one", "two-barrel", "four-barrel"]),
    ("fuel.grade", ["pump gasoline", "methanol", "LPG"]),
    (
        "fuel_system.delivery",
        ["port injected", "direct injected", "both", "injected before the compressor", "carbureted"],
    ),
    ("fuel_system.boost_referenced", ["rises with boost", "stays fixed", "the pump control holds it"]),
    ("fuel_system.pump_arrangement", ["side by side", "one feeds the next"]),
    ("fuel_system.pump_location", ["in the tank", "outside it"]),
    ("driveline.launch", ["rolling", "dumping the clutch", "through a torque converter"]),
    ("exhaust.gas_temperature_at", ["at the port", "ahead of the turbine", "after it"]),
    ("oil.grade", ["API SP", "SN PLUS", "SN"]),
    ("engine.type", ["four-stroke gasoline engine", "diesel", "rotary", "two-stroke", "electric", "hybrid"]),
]


@pytest.mark.parametrize(("path", "answers"), ASKED, ids=[path for path, _ in ASKED])
def test_a_question_takes_its_own_words_for_an_answer(read, path, answers):
    chosen = [read(path, answer).choices[path] for answer in answers]
    # Oil and grease are one answer.
    assert len(set(chosen)) == len(answers) - (path == "engine.head_stud_lubricant")


@pytest.mark.parametrize(
    ("path", "written", "options"),
    [
        ("induction.boost", "0.8", ("0.8 bar", "0.8 psi")),
        ("induction.boost", 2.5, ("2.5 bar", "2.5 psi")),
        ("fuel.grade", "premium", ("premium_91_aki", "premium_93_aki", "premium_95_ron", "premium_98_ron")),
        ("fuel.grade", "gas", ("petrol", "lpg")),
        ("fuel.grade", "alcohol", ("ethanol", "methanol")),
    ],
)
def test_what_may_mean_several_things_offers_each(refused, path, written, options):
    fault = refused(path, written)
    assert (fault.suggestion, fault.options) == (None, options)


@pytest.mark.parametrize(
    ("path", "written", "suggestion"),
    [
        ("induction.boost", 12, "12 psi"),
        ("fuel_system.pump_flow", "340 @ 58 psi", "340 L/h at 58 psi"),
        # A maker's word for a blower is no turbo.
        ("induction.kind", "beltcharger", None),
        ("induction.kind", "turbine", None),
        ("fuel.grade", "avgas", None),
        # Beyond what can be right.
        ("fuel.grade", "150 octane", None),
        ("fuel.octane", "12 AKI", None),
        ("engine.redline", "65k", None),
        ("fuel_system.pump_flow", "340 lph at 9 lb/h", None),
    ],
)
def test_what_is_refused_and_what_is_suggested(refused, path, written, suggestion):
    fault = refused(path, written)
    assert (fault.suggestion, fault.options) == (suggestion, ())


def test_a_bare_octane_number_is_aki_at_an_american_counter(read):
    for path in ("fuel.octane", "fuel.grade"):
        known = read(path, "93 octane", "us")
        assert (known.numbers, known.understood) == (
            {"fuel__aki": 93},
            [("fuel.octane", "93 AKI, because the units are us")],
        )
        assert read(path, "93 octane", "metric").numbers == {"fuel__octane": 93}
    assert read("fuel.octane", "98 RON", "us").numbers == {"fuel__ron": 98}
    assert read("fuel.ron", "98", "us").numbers == {"fuel__ron": 98}


@pytest.mark.parametrize(
    "build",
    [
        {"fuel": {"aki": 91, "octane": "93 AKI"}},
        {"fuel": {"octane": "93 AKI", "aki": 91}},
        {"fuel_system": {"pump_flow": "340 L/h at 58 psi", "pump_rated_pressure": "3 bar"}},
        {"engine": {"redline": "6500 rpm"}, "engine.redline": "7000 rpm"},
    ],
)
def test_what_is_given_twice_and_differs_is_refused(real_rules, build):
    with pytest.raises(SpecError) as refusal:
        real_rules.reader.read(build)
    assert [fault.code for fault in refusal.value.faults] == ["contradiction"]


def test_dotted_names_are_put_into_their_groups(real_rules):
    build = {"engine.displacement": "5.0 L", "engine": {"cylinders": 8}, "fuel.aki": 93, "usage": "drag"}
    grouped = {"engine": {"cylinders": 8, "displacement": "5.0 L"}, "fuel": {"aki": 93}, "usage": "drag"}
    assert nested(build, real_rules.reader.groups) == grouped
    assert real_rules.reader.read(build) == real_rules.reader.read(grouped)
    # What is no group of ours, and what would be lost, stays for the reader to refuse.
    for odd in (
        {"a.b": 1},
        {"engine": {"redline": 1}, "engine.redline": 2},
        {"engine.": 1},
        {"engine": 3, "engine.bore": 1},
    ):
        assert nested(odd, real_rules.reader.groups) == odd


def test_every_answer_that_a_refusal_offers_is_taken(real_rules):
    """What each `not_quite` and each bare number of every field offers; any text at all is tried in
    tests/units/test_hostile_units.py.
    """
    offered = 0
    for field in real_rules.rulebook.inputs.values():
        values = [*field.not_quite, *(words_misspelt(real_rules, field)), *BARE]
        for value in values if field.kind in ("number", "choice", "flag", "count") else ():
            try:
                real_rules.reader.read(placed(field.path, value))
            except SpecError as refusal:
                for answer in offers(refusal.faults[0]):
                    offered += 1
                    taken = int(answer) if field.kind == "count" else answer
                    real_rules.reader.read(placed(field.path, taken))
    assert offered > 500


BARE = [
    0.1,
    0.8,
    2,
    3.5,
    8,
    12,
    42,
    58,
    93,
    150,
    340,
    440,
    600,
    1000,
    6500,
    "8",
    "1,998",
    "600 at the wheels",
    "40+",
]


def words_misspelt(real_rules, field):
    words = (
        [*real_rules.rulebook.words_of(field), *field.synonyms] if field.kind in ("choice", "flag") else []
    )
    return [word[:2] + word[3:] for word in words if len(word) > 3] + [f"{word}x" for word in words]
