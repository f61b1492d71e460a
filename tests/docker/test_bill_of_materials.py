"""The bill of materials names what is installed, with the hashes that the lock allows."""

import importlib.util
import sys
from pathlib import Path

from tests.docker.dockerfile import ROOT
from tests.docker.test_locks import pins


def bill():
    path = ROOT / "docker" / "bill_of_materials.py"
    spec = importlib.util.spec_from_file_location("bill_of_materials", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.main(Path(sys.prefix))


def test_every_package_that_ships_is_on_it_once():
    listed = [(one["name"], one["version"]) for one in bill()["components"]]
    assert len(listed) == len(dict(listed))
    assert pins("requirements.lock").items() <= dict(listed).items()


def test_it_is_of_the_format_it_says():
    """The required properties of CycloneDX 1.6 (ECMA-424)."""
    found = bill()
    assert (found["bomFormat"], found["specVersion"]) == ("CycloneDX", "1.6")
    for one in found["components"]:
        assert one["type"] == "library" and one["name"]
        assert one["purl"] == f"pkg:pypi/{one['name']}@{one['version']}"
    shipped = pins("requirements.lock")
    hashed = {one["name"] for one in found["components"] if "properties" in one}
    assert hashed == shipped.keys() & {one["name"] for one in found["components"]}
