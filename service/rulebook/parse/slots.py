"""rules/slots.yaml: the kinds of part, in the order in which people order."""

from service.rulebook.files.section import Section
from service.rulebook.files.yaml_file import Entries
from service.rulebook.parse.guards import Choices, parse_guard
from service.rulebook.slot import WAYS, Slot


def parse_slot(section: Section, choices: Choices) -> Slot:
    """One kind of part."""
    sizes = section.entries("sizes", Entries())
    for path, way in sizes.items():
        if way not in WAYS:
            section.fail(
                f"needs `{way}` of `{path}`, which is no way to size a part.",
                f"Write one of {', '.join(WAYS)}.",
                path.line,
            )
    slot = Slot(
        name=section.name,
        label=str(section.sentence("label")),
        short=str(section.sentence("short")),
        groups=section.words("groups"),
        when=parse_guard(section, "when", choices),
        sizes={str(path): str(way) for path, way in sizes.items()},
        as_delivered=section.one_of("as_delivered", ("yes", "no"), "no") == "yes",
    )
    section.finish()
    return slot
