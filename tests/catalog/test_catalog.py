"""The catalog as a whole, and every mistake in it named with the exact file and the exact line or row and
column.
"""

import csv
import shutil
from itertools import permutations
from pathlib import Path

import pytest
import yaml

from service.catalog.catalog import misfits
from service.catalog.expand import expanded, fit_findings
from service.catalog.folder import read_folder
from service.errors import CatalogError, SpecError
from tests.support.rules import parts_named, real_rulebook
from tests.support.yaml_data import read_yaml

FIXED = Path(__file__).parent
OWN = ("number", "maker", "title", "price", "stock")


@pytest.fixture
def folder(tmp_path):
    """A copy of the fixed catalog to spoil."""
    for path in [*FIXED.glob("*.yaml"), *FIXED.glob("*.csv")]:
        shutil.copy(path, tmp_path / path.name)
    return tmp_path


@pytest.fixture(scope="module")
def fixed(real_rules):
    return read_folder(FIXED, real_rules.reader)


def spoil(folder, name, old, new):
    """Replaces the first of `old`; the line it stands on, counted from 1."""
    text = (folder / name).read_text(encoding="utf-8")
    assert old in text
    (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def refused(folder, real_rules):
    with pytest.raises(CatalogError) as caught:
        read_folder(folder, real_rules.reader)
    return caught.value.problems


def test_the_fixed_catalog_by_the_plain_readers(fixed):
    """Counted with yaml and csv themselves: no part is lost, and the ledger knows each of them."""
    numbers = [
        part["number"]
        for path in FIXED.glob("*.yaml")
        if path.name != "catalog.yaml"
        for part in read_yaml(path)["parts"]
    ]
    for path in FIXED.glob("*.csv"):
        if path.name != "ledger.csv":
            numbers += [row["number"] for row in csv.DictReader(path.read_text().splitlines())]
    assert sorted(fixed.parts) == sorted(numbers) and len(numbers) >= 150
    assert set(numbers) == {
        row["number"] for row in csv.DictReader((FIXED / "ledger.csv").read_text().splitlines())
    }
    assert len(fixed.slots) == 16 and set(fixed.slots) <= set(real_rulebook().slots)
    assert all(part.slot == slot for slot, parts in fixed.slots.items() for part in parts)
    assert all(
        [part.price for part in parts] == sorted(part.price for part in parts)
        for parts in fixed.slots.values()
    )


def test_prices_are_whole_hundredths(fixed):
    """405.00 and 472.50 as they stand in the file."""
    assert (fixed.parts["IN-030-O00"].price, fixed.parts["IN-039-O02"].price) == (40500, 47250)
    assert fixed.money(47250) == "472.50 EUR"


# File, what is replaced and by what, words of the problem, lines from the replaced text to the place named: a
# wrong field is placed at its part, a wrong column at the first row.
EXACT = {
    "price in words": ("clutch.yaml", "price: 655.00", "price: dear", "has no `price` that can be read", 0),
    "price of one decimal": ("clutch.yaml", "price: 655.00", "price: 655.0", "an amount such as 129.00", 0),
    "price below nothing": (
        "clutch.yaml",
        "price: 655.00",
        "price: -655.00",
        "has no `price` that can be read",
        0,
    ),
    "half a piece in stock": ("clutch.yaml", "stock: 0", "stock: 0.5", "has no `stock` that can be read", 0),
    "an unknown key": (
        "clutch.yaml",
        "  price: 655.00",
        "  colour: red\n  price: 655.00",
        "the key `colour`, which is not a known key",
        0,
    ),
    "a number taken": (
        "clutch.yaml",
        "- number: CL-1OR-95",
        "- number: CL-1OR-85",
        "is already used in clutch.yaml:3",
        0,
    ),
    "a field of another group": (
        "flywheel.yaml",
        "flywheel.material: grey_iron",
        "clutch.discs: 1",
        "`FW-GR-330` gives fields of clutch, which a part of the slot flywheel does not fill",
        -7,
    ),
    "row: price in words": (
        "spark_plugs.csv",
        'SP-060-1,Quernside,"Set of eight plugs, gap 0.6 mm, 1 steps colder",65.00',
        'SP-060-1,Quernside,"Set of eight plugs, gap 0.6 mm, 1 steps colder",dear',
        "has no `price` that can be read, column price",
        0,
    ),
    "row: half a piece in stock": (
        "spark_plugs.csv",
        "65.00,3,",
        "65.00,3.5,",
        "has no `stock` that can be read, column stock",
        0,
    ),
    "row: a cell too many": (
        "spark_plugs.csv",
        "65.00,3,0.6 mm,1",
        "65.00,3,0.6 mm,1,1",
        "more or fewer cells",
        0,
    ),
    "row: a cell too few": (
        "spark_plugs.csv",
        "65.00,3,0.6 mm,1",
        "65.00,3,0.6 mm",
        "more or fewer cells",
        0,
    ),
    "row: unit of another kind": (
        "spark_plugs.csv",
        "65.00,3,0.6 mm",
        "65.00,3,0.6 bar",
        "`SP-060-1`, column ignition.plug_gap",
        0,
    ),
    "row: a number taken": (
        "spark_plugs.csv",
        "SP-060-2",
        "SP-060-0",
        "is already used in spark_plugs.csv:2",
        0,
    ),
    "row: a number of a YAML file": (
        "spark_plugs.csv",
        "SP-060-2",
        "CL-1OR-85",
        "is already used in clutch.yaml:3",
        0,
    ),
    "column: another group": (
        "spark_plugs.csv",
        "ignition.plug_gap",
        "clutch.clamp_load",
        "`SP-060-0` gives fields of clutch",
        1,
    ),
    "column: unknown field": (
        "spark_plugs.csv",
        "ignition.plug_gap",
        "ignition.plug_gapp",
        "`SP-060-0`, column ignition.plug_gapp: `ignition` has no such field",
        1,
    ),
}


@pytest.mark.parametrize("fault", EXACT.values(), ids=EXACT)
def test_the_line_or_row_is_named_exactly(folder, real_rules, fault):
    name, old, new, words, further = fault
    line = spoil(folder, name, old, new) + further
    problems = refused(folder, real_rules)
    assert any(
        (problem.file, problem.line) == (name, line) and words in str(problem) and problem.fix
        for problem in problems
    ), problems


def test_a_unit_mistake_in_yaml_names_the_line_of_the_value(folder, real_rules):
    """The problem is placed at its part; its text names the very line."""
    value = spoil(
        folder, "injectors.yaml", "fuel_system.injector_flow: 36 lb/h", "fuel_system.injector_flow: 36 kg"
    )
    part = spoil(folder, "injectors.yaml", "number: IN-036-O01", "number: IN-036-O01")
    (problem,) = [problem for problem in refused(folder, real_rules) if "is a mass" in problem.message]
    assert (problem.file, problem.line) == ("injectors.yaml", part)
    assert (
        problem.message.startswith(f"`IN-036-O01` on line {value}: ")
        and "Did you mean 36 kg/h?" in problem.fix
    )


def test_an_unknown_field_is_answered_by_the_nearest_word(folder, real_rules):
    line = spoil(
        folder, "gearbox.yaml", "driveline.first_gear_ratio: 3.27", "driveline.first_gear_ration: 3.27"
    )
    assert any(
        f"on line {line}: `driveline` has no such field" in problem.message
        and "Did you mean first_gear_ratio?" in problem.fix
        for problem in refused(folder, real_rules)
    )


@pytest.mark.parametrize("key", OWN)
def test_every_part_has_its_own_words(folder, real_rules, key):
    """Without the key in YAML, without the column in CSV, with an empty cell in CSV: refused each time by its
    name.
    """
    cells = {"number": "SP-9", "maker": "Tinwick", "title": "Plugs", "price": "60.00", "stock": "1"}
    (folder / "short_block.yaml").write_text(
        yaml.safe_dump(
            {
                "parts": [
                    {one: text for one, text in cells.items() if one != key}
                    | {"gives": {"engine.cylinders": "8"}}
                ]
            }
        )
    )
    assert [
        (problem.file, problem.line)
        for problem in refused(folder, real_rules)
        if f"lacks `{key}`" in problem.message
    ] == [("short_block.yaml", 2)]
    shutil.copy(FIXED / "short_block.yaml", folder)
    spoil(folder, "spark_plugs.csv", key, f"{key}s")
    assert [
        (problem.file, problem.line, f"lacks the column `{key}`" in problem.message)
        for problem in refused(folder, real_rules)
    ] == [("spark_plugs.csv", 1, True)]
    cells[key] = ""
    (folder / "spark_plugs.csv").write_text(f"{','.join(cells)}\n{','.join(cells.values())}\n")
    assert [
        (problem.file, problem.line, f"lacks `{key}`, column {key}" in problem.message)
        for problem in refused(folder, real_rules)
    ] == [("spark_plugs.csv", 2, True)]


@pytest.mark.parametrize("name", ["clutchs.yaml", "spark_plug.csv"])
def test_a_file_of_no_slot_is_answered_by_the_nearest_slot(folder, real_rules, name):
    slot = {"clutchs.yaml": "clutch.yaml", "spark_plug.csv": "spark_plugs.csv"}[name]
    (folder / slot).rename(folder / name)
    problems = [
        problem for problem in refused(folder, real_rules) if "which does not exist" in problem.message
    ]
    assert len(problems) == len(read_folder(FIXED, real_rules.reader).slots[Path(slot).stem])
    assert all(
        problem.file == name and problem.fix == f"Did you mean {Path(slot).stem}?" for problem in problems
    )


CHANGES = {
    "title": ("clutch.yaml", "title: Clutch, 1 disc", "title: Clutch, one disc", "CL-1OR-85"),
    "maker": ("clutch.yaml", "maker: Quernside", "maker: Tinwick", "CL-1OR-85"),
    "fits": (
        "clutch.yaml",
        "fits: {input_shaft: [ten_spline]}",
        "fits: {input_shaft: [ten_spline, twenty_six_spline]}",
        "CL-1OR-85",
    ),
    "has": (
        "gearbox.yaml",
        "has: {input_shaft: ten_spline}",
        "has: {input_shaft: twenty_six_spline}",
        "GB-350-335",
    ),
    "gives": (
        "gearbox.yaml",
        "driveline.gearbox_torque_rating: 350 N.m",
        "driveline.gearbox_torque_rating: 351 N.m",
        "GB-350-335",
    ),
    "gives, in a row": ("spark_plugs.csv", "56.00,6,0.6 mm", "56.00,6,0.65 mm", "SP-060-0"),
    "fits, in a row": (
        "manifold_pressure_sensor.csv",
        "1.05 bar abs,three_pin|four_pin",
        "1.05 bar abs,three_pin",
        "MS-105",
    ),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_whatever_a_part_says_is_remembered_under_its_number(folder, real_rules, change):
    name, old, new, number = change
    spoil(folder, name, old, new)
    (problem,) = refused(folder, real_rules)
    assert (
        problem.file == name
        and problem.message == f"the part `{number}` was changed under the same number."
        and "a new number" in problem.fix
    )
    (folder / "ledger.csv").unlink()
    assert len(read_folder(folder, real_rules.reader).parts) >= 150


def test_mistakes_of_many_files_come_together(folder, real_rules):
    spoil(folder, "clutch.yaml", "clutch.clamp_load: 8500 N", "clutch.clamp_load: 8500")
    spoil(folder, "gearbox.yaml", "gearbox_torque_rating: 350 N.m", "gearbox_torque_rating: 350 N")
    spoil(folder, "spark_plugs.csv", "56.00,6,0.6 mm", "56.00,6,0.6")
    assert {"clutch.yaml", "gearbox.yaml", "spark_plugs.csv"} <= {
        problem.file for problem in refused(folder, real_rules) if "changed under" not in problem.message
    }


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("clutch.yaml", "price: 655.00", "price: 655.01"),
        ("clutch.yaml", "stock: 0", "stock: 1"),
        ("spark_plugs.csv", ",56.00,", ",55.99,"),
        ("catalog.yaml", '"2026.1"', '"2026.2"'),
        ("catalog.yaml", "currency: EUR", "currency: USD"),
    ],
)
def test_the_digest_covers_price_stock_and_head(folder, real_rules, fixed, name, old, new):
    spoil(folder, name, old, new)
    assert read_folder(folder, real_rules.reader).digest != fixed.digest


def test_the_digest_stays_whatever_the_order(folder, real_rules, fixed):
    """Parts of every YAML file turned round, rows and columns of every CSV file as well."""
    for path in folder.glob("*.yaml"):
        if path.name != "catalog.yaml":
            head, *parts = path.read_text().split("- number:")
            path.write_text("- number:".join([head, *reversed(parts)]))
    for path in folder.glob("*.csv"):
        rows = [list(reversed(row)) for row in csv.reader(path.read_text().splitlines())]
        with path.open("w", newline="") as file:
            csv.writer(file).writerows([rows[0], *reversed(rows[1:])])
    turned = read_folder(folder, real_rules.reader)
    assert list(turned.parts) != list(fixed.parts) and turned.digest == fixed.digest


def test_misfits_are_the_pairs_whose_words_do_not_meet(fixed):
    """Every pair of the catalog by the definition: one wants words under a key, the other offers another one
    there.
    """
    wanted = {
        (one.number, other.number, key)
        for one, other in permutations(fixed.parts.values(), 2)
        for key in set(one.fits) & set(other.has)
        if not {other.has[key]} & set(one.fits[key])
    }
    assert (
        {(one.number, other.number, key) for one, other, key in misfits(fixed.parts.values())}
        == wanted
        != set()
    )


def test_the_finding_names_both_parts_and_the_words(fixed):
    (finding,) = fit_findings([fixed.parts["GB-680-297"], fixed.parts["CL-1OR-85"]], {})
    assert finding["parts"] == ["CL-1OR-85", "GB-680-297"] and finding["over"] == "input_shaft"
    assert "ten spline" in finding["text"] and "has twenty six spline" in finding["text"]
    assert (
        fit_findings([fixed.parts["GB-350-335"], fixed.parts["CL-1OR-85"]], {}) == fit_findings([], {}) == []
    )


def test_parts_become_fields_and_the_build_stays_as_it_was(fixed):
    build = {
        "usage": "street",
        "parts": {"clutch": "CL-1OR-85", "gearbox": "GB-350-335"},
        "clutch": {"clamp_load": "7000 N"},
    }
    made = expanded(build, parts_named(build, fixed))
    assert made["clutch"] == fixed.parts["CL-1OR-85"].gives["clutch"] | {"clamp_load": "7000 N"}
    assert (
        made["driveline"] == fixed.parts["GB-350-335"].gives["driveline"]
        and made["usage"] == "street"
        and "parts" not in made
    )
    assert (
        build["clutch"] == {"clamp_load": "7000 N"}
        and fixed.parts["CL-1OR-85"].gives["clutch"]["clamp_load"] == "8500 N"
    )
    assert parts_named({}, fixed) == [] and expanded({"usage": "street"}, []) == {"usage": "street"}


PARTS = {
    "an unknown slot": ({"clutches": "CL-1OR-85"}, "/build/parts/clutches", "unknown-key", "clutch"),
    "an unknown number": ({"clutch": "CL-1OR-86"}, "/build/parts/clutch", "unknown-part", "CL-1OR-85"),
    "a number nothing is near to": ({"clutch": "zzzzzz"}, "/build/parts/clutch", "unknown-part", None),
    "no text for a number": ({"clutch": 85}, "/build/parts/clutch", "unknown-part", None),
    "a list for a number": ({"clutch": ["CL-1OR-85"]}, "/build/parts/clutch", "unknown-part", None),
    "a slot with a slash": (
        {"clutch/disc": "CL-1OR-85"},
        "/build/parts/clutch~1disc",
        "unknown-key",
        "clutch",
    ),
    "a part of another slot": ({"flywheel": "CL-1OR-85"}, "/build/parts/flywheel", "wrong-slot", None),
    "a list for all": (["CL-1OR-85"], "/build/parts", "wrong-type", None),
    "a text for all": ("CL-1OR-85", "/build/parts", "wrong-type", None),
    "null for all": (None, "/build/parts", "wrong-type", None),
}


@pytest.mark.parametrize("fault", PARTS.values(), ids=PARTS)
def test_parts_that_cannot_be_are_refused_with_the_nearest(fixed, fault):
    named, pointer, code, nearest = fault
    with pytest.raises(SpecError) as caught:
        parts_named({"parts": named}, fixed)
    (found,) = caught.value.faults
    assert (found.pointer, found.code, found.suggestion) == (pointer, code, nearest) and found.expected


def test_all_faults_of_the_parts_come_together(fixed):
    with pytest.raises(SpecError) as caught:
        parts_named(
            {
                "parts": {
                    "clutch": "none",
                    "injektors": "IN-060-F09",
                    "flywheel": "CL-1OR-85",
                    "gearbox": "GB-350-335",
                }
            },
            fixed,
        )
    assert [fault.code for fault in caught.value.faults] == ["unknown-part", "unknown-key", "wrong-slot"]
