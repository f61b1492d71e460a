"""Quantities that work out an input name one that there is."""

from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead


def verify_quantities(draft: Draft, problems: Problems) -> None:
    """The key `instead_of` of every quantity."""
    for quantity in draft.quantities.values():
        if quantity.instead_of and quantity.instead_of not in draft.inputs:
            line = draft.line(quantity.file, quantity.name, "instead_of")
            problem = f"`{quantity.name}` works out `{quantity.instead_of}`, which is no input."
            fix = instead(quantity.instead_of, draft.inputs, "Name an input of inputs.yaml.")
            problems.add(quantity.file, line, problem, fix)
