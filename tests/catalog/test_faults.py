"""Every mistake in a catalog is refused when it loads, with file, row and column."""

import shutil
from pathlib import Path

import pytest

from service.catalog.catalog import misfits
from service.catalog.expand import expanded, fit_findings
from service.catalog.folder import read_folder
from service.catalog.ledger import read_ledger, write_ledger
from service.errors import CatalogError, SpecError
from tests.support.rules import parts_named

FIXED = Path(__file__).parent


@pytest.fixture
def folder(tmp_path):
    """A copy of the fixed catalog to spoil."""
    for path in FIXED.iterdir():
        if path.suffix in (".yaml", ".csv"):
            shutil.copy(path, tmp_path / path.name)
    return tmp_path


@pytest.fixture(scope="module")
def fixed(real_rules):
    return read_folder(FIXED, real_rules.reader)


def test_the_fixed_catalog_is_large_enough_and_remembered(fixed):
    assert len(fixed.parts) >= 150 and len(fixed.slots) == 16
    assert read_ledger(FIXED) == {number: part.digest() for number, part in fixed.parts.items()}


# file, what is replaced, by what, words of the message, words of the fix; what is replaced stands in the
# line that is named.
FAULTS = {
    "a number twice": (
        "injectors.yaml",
        "number: IN-036-O01",
        "number: IN-030-O00",
        "the number `IN-030-O00` is already used in injectors.yaml:",
        "a number of its own",
    ),
    "a number of another slot": (
        "flywheel.yaml",
        "number: FW-ST-330",
        "number: CL-1OR-85",
        "the number `CL-1OR-85` is already used in clutch.yaml",
        "a number of its own",
    ),
    "no price": ("injectors.yaml", "  price: 405.00", "  prize: 405.00", "lacks `price`", "price"),
    "a price in words": (
        "injectors.yaml",
        "  price: 405.00",
        "  price: about 400",
        "has no `price` that can be read",
        "an amount such as 129.00",
    ),
    "a stock below none": (
        "injectors.yaml",
        "  stock: 2\n  has: {injector_plug: oval}",
        "  stock: -2\n  has: {injector_plug: oval}",
        "has no `stock` that can be read",
        "a whole number",
    ),
    "a unit that does not fit": (
        "injectors.yaml",
        "fuel_system.injector_flow: 36 lb/h",
        "fuel_system.injector_flow: 36 kg",
        "is a mass",
        "Did you mean 36 kg/h?",
    ),
    "no unit": (
        "half_shafts.yaml",
        "driveline.half_shaft_diameter: 27 mm",
        "driveline.half_shaft_diameter: 27",
        "27 has no unit",
        "Expected:",
    ),
    "a field that is none": (
        "clutch.yaml",
        "clutch.clamp_load: 8500 N",
        "clutch.clamp_lode: 8500 N",
        "`clutch` has no such field",
        "Did you mean clamp_load?",
    ),
    "a field of another group": (
        "flywheel.yaml",
        "flywheel.material: aluminium",
        "clutch.facing: organic",
        "gives fields of clutch, which a part of the slot flywheel does not fill",
        "It may give fields of flywheel",
    ),
    "a unit mistake in a CSV": (
        "manifold_pressure_sensor.csv",
        ",1.05 bar abs,",
        ",1.05 bar gauge,",
        "column sensors.manifold_pressure_range",
        "Expected:",
    ),
    "a cell too few in a CSV": (
        "spark_plugs.csv",
        ",0.6 mm,0\n",
        ",0.6 mm\n",
        "more or fewer cells",
        "in quotes",
    ),
    "a price in a CSV": ("spark_plugs.csv", ",56.00,", ",56,5,", "more or fewer cells", "in quotes"),
    "no price in a CSV": (
        "spark_plugs.csv",
        ",56.00,",
        ",,",
        "lacks `price`, column price",
        "Every part has",
    ),
    "a part changed under its number": (
        "fuel_pump.yaml",
        "fuel_system.pump_flow: 220 L/h",
        "fuel_system.pump_flow: 225 L/h",
        "was changed under the same number",
        "a new number",
    ),
    "a list for a name": (
        "clutch.yaml",
        "  maker: Quernside",
        "  maker: [Quernside]",
        "needs one piece of text under `maker`",
        "on one line",
    ),
}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_a_mistake_is_named_with_its_place(folder, real_rules, fault):
    name, old, new, message, fix = fault
    text = (folder / name).read_text()
    assert old in text
    (folder / name).write_text(text.replace(old, new, 1))
    with pytest.raises(CatalogError) as caught:
        read_folder(folder, real_rules.reader)
    found = [problem for problem in caught.value.problems if message in problem.message]
    assert found, caught.value
    line = text[: text.index(old)].count("\n") + 1
    assert found[0].file == name and fix in found[0].fix
    # The part, or the very line, is named.
    assert abs(found[0].line - line) <= 12


def test_several_mistakes_come_together(folder, real_rules):
    text = (folder / "injectors.yaml").read_text()
    (folder / "injectors.yaml").write_text(
        text.replace("36 lb/h\n", "36 kg\n", 1).replace("42 lb/h\n", "42\n", 1)
    )
    with pytest.raises(CatalogError) as caught:
        read_folder(folder, real_rules.reader)
    assert (
        len(
            [
                problem
                for problem in caught.value.problems
                if "is a mass" in problem.message or "has no unit" in problem.message
            ]
        )
        == 2
    )


def test_a_slot_that_is_none(folder, real_rules):
    (folder / "clutch.yaml").rename(folder / "clutches.yaml")
    with pytest.raises(
        CatalogError, match="for the slot `clutches`, which does not exist. Did you mean clutch"
    ):
        read_folder(folder, real_rules.reader)


def test_a_column_that_lacks(folder, real_rules):
    text = (folder / "spark_plugs.csv").read_text()
    (folder / "spark_plugs.csv").write_text(text.replace("maker,", "brand,", 1))
    with pytest.raises(CatalogError, match="spark_plugs.csv:1: lacks the column `maker`"):
        read_folder(folder, real_rules.reader)


def test_a_folder_without_a_head(tmp_path, real_rules):
    with pytest.raises(CatalogError, match="catalog.yaml"):
        read_folder(tmp_path, real_rules.reader)


def test_price_and_stock_may_change_and_the_digest_tells(folder, real_rules, fixed):
    text = (folder / "injectors.yaml").read_text()
    (folder / "injectors.yaml").write_text(text.replace("price: 405.00", "price: 399.00", 1))
    cheaper = read_folder(folder, real_rules.reader)
    assert cheaper.digest != fixed.digest
    assert all(cheaper.parts[number].digest() == part.digest() for number, part in fixed.parts.items())


def test_the_order_of_parts_is_no_matter(folder, real_rules, fixed):
    lines = (folder / "spark_plugs.csv").read_text().splitlines()
    (folder / "spark_plugs.csv").write_text("\n".join([lines[0], *reversed(lines[1:])]) + "\n")
    assert read_folder(folder, real_rules.reader).digest == fixed.digest


def test_the_ledger_takes_new_parts_and_keeps_old_ones(folder, real_rules):
    (folder / "spark_plugs.csv").write_text(
        (folder / "spark_plugs.csv").read_text() + "SP-NEW-0,Tinwick,Set of eight plugs,60.00,3,0.8 mm,0\n"
    )
    catalog = read_folder(folder, real_rules.reader)
    assert write_ledger(folder, catalog) == 1 and write_ledger(folder, catalog) == 0
    (folder / "clutch.yaml").unlink()
    smaller = read_folder(folder, real_rules.reader)
    write_ledger(folder, smaller)
    assert "CL-1OR-85" in read_ledger(folder)


def test_what_does_not_go_together(fixed):
    clutch, gearbox = fixed.parts["CL-1OR-85"], fixed.parts["GB-680-297"]
    assert [(one.number, other.number, key) for one, other, key in misfits([clutch, gearbox])] == [
        ("CL-1OR-85", "GB-680-297", "input_shaft")
    ]
    assert misfits([clutch, fixed.parts["GB-350-335"]]) == []
    assert "fits input shaft ten spline" in fit_findings([clutch, gearbox], {})[0]["text"]


def test_fields_given_explicitly_win(fixed):
    build = {"parts": {"injectors": "IN-060-F09"}, "fuel_system": {"injector_flow": "50 lb/h"}}
    made = expanded(build, parts_named(build, fixed))
    assert made["fuel_system"]["injector_flow"] == "50 lb/h" and made["fuel_system"]["injector_count"] == 8
    assert "parts" not in made and build["fuel_system"] == {"injector_flow": "50 lb/h"}


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ({"injektors": "IN-060-F09"}, "unknown-key"),
        ({"injectors": "IN-061-F09"}, "unknown-part"),
        ({"injectors": 60}, "unknown-part"),
        ({"clutch": "IN-060-F09"}, "wrong-slot"),
        (["IN-060-F09"], "wrong-type"),
    ],
)
def test_parts_that_are_none_are_refused(fixed, parts, code):
    with pytest.raises(SpecError) as caught:
        parts_named({"parts": parts}, fixed)
    assert [fault.code for fault in caught.value.faults] == [code]


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("spark_plugs.csv", b"Set of eight", b"Z\xfcndung"),
        ("ledger.csv", b"number,digest", b"part,sha"),
        ("ledger.csv", b"number", b"n\xfcmber"),
    ],
)
def test_a_file_that_cannot_be_read_is_named(folder, real_rules, name, old, new):
    (folder / name).write_bytes((folder / name).read_bytes().replace(old, new, 1))
    with pytest.raises(CatalogError, match=name):
        read_folder(folder, real_rules.reader)


def test_a_row_after_blank_lines_is_named_by_its_line(folder, real_rules):
    path = folder / "spark_plugs.csv"
    path.write_text(
        path.read_text().replace("\nSP-070-0", "\n\n\nSP-070-0", 1).replace(",59.00,", ",dear,", 1)
    )
    line = next(number for number, row in enumerate(path.read_text().splitlines(), start=1) if "dear" in row)
    with pytest.raises(CatalogError) as caught:
        read_folder(folder, real_rules.reader)
    assert caught.value.problems[0].line == line


def test_one_word_to_fit_is_a_list_of_one(folder, real_rules):
    (folder / "clutch.yaml").write_text(
        (folder / "clutch.yaml").read_text()
        + (
            "- number: CL-NEW\n  maker: Tinwick\n  title: Clutch\n  price: 1.00\n  stock: 1\n"
            "  fits: {input_shaft: ten_spline}\n  gives:\n    clutch.discs: 1\n"
        )
    )
    assert read_folder(folder, real_rules.reader).parts["CL-NEW"].fits == {"input_shaft": ("ten_spline",)}
