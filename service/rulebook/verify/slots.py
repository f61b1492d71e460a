"""Kinds of part name groups and inputs that there are; what they are sized by can be moved."""

from service.rulebook.draft import Draft, Problems
from service.rulebook.files.section import instead
from service.rulebook.slot import Slot

FILE = "slots.yaml"


def verify_slots(draft: Draft, problems: Problems) -> None:
    """Every entry of rules/slots.yaml."""
    groups = {spec.group for spec in draft.inputs.values() if spec.group}
    for slot in draft.slots.values():
        for position, group in enumerate(slot.groups):
            if group not in groups:
                line = draft.line(FILE, slot.name, "groups", position)
                fix = instead(group, sorted(groups), "Name a group of inputs.yaml.")
                problems.add(FILE, line, f"`{slot.name}` speaks for `{group}`, which is no group.", fix)
        _sizes(slot, draft, problems)


def _sizes(slot: Slot, draft: Draft, problems: Problems) -> None:
    for path in slot.sizes:
        line = draft.line(FILE, slot.name, "sizes", path)
        if path not in draft.inputs:
            fix = instead(path, draft.inputs, "Name an input of inputs.yaml.")
            problems.add(FILE, line, f"`{slot.name}` is sized by `{path}`, which is no input.", fix)
        elif not (draft.inputs[path].steps or draft.inputs[path].kind == "count"):
            fix = f"Add a `step:` to `{path}` in inputs.yaml."
            problems.add(FILE, line, f"`{slot.name}` is sized by `{path}`, which has no step.", fix)
