"""Write the contract."""

import sys

import yaml

from service.rulebook.load import load_rulebook
from service.settings import rules_folder
from service.web.api.contract.document import contract


class _WithoutAnchors(yaml.SafeDumper):
    """Writes what occurs twice out twice, so that a reader need not look for it."""

    def ignore_aliases(self, data: object) -> bool:
        """All of them."""
        return True


def contract_yaml() -> str:
    """The contract of the rules in force, as YAML."""
    document = contract(load_rulebook(rules_folder()))
    return yaml.dump(document, Dumper=_WithoutAnchors, sort_keys=False, allow_unicode=True, width=120)


def write_contract() -> int:
    """0 once written to standard output."""
    sys.stdout.write("# Made by `make contract`; a test keeps it current.\n" + contract_yaml())
    return 0
