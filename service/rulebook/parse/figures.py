"""rules/figures.yaml: the values people ask for, in the order of a reply."""

from service.rulebook.check import Figure
from service.rulebook.files.section import Section


def parse_figure(section: Section) -> Figure:
    """One entry: the quantity, the operating point it is told at, the check it is told with."""
    point, with_check = section.text("at", None), section.text("with_check", None)
    label = section.text("label", None)
    figure = Figure(
        id=section.name,
        quantity=str(section.text("quantity", section.name)),
        point=str(point) if point else None,
        with_check=str(with_check) if with_check else None,
        label=str(label) if label else None,
        said=section.one_of("said", ("yes", "no"), "no") == "yes",
    )
    section.finish()
    return figure
