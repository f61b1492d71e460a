"""A selection of parts as text."""

from textwrap import fill

WIDTH = 118


def render_selection(answer: dict) -> str:
    """The best sets with their prices, or what stands in the way."""
    lines = []
    for rank, one in enumerate(answer["sets"], start=1):
        proved = "" if answer["proved"] else ", not proved to be the best"
        lines.append(
            f"{rank}. {one['text']}, {one['verdict']} ({answer['objective'].replace('_', ' ')}{proved})"
        )
        lines += [
            f"     {slot.replace('_', ' '):26}{number:14}{_title(answer, slot, number)}"
            for slot, number in one["parts"].items()
        ]
        if one["warns"]:
            lines.append(
                fill(
                    f"warns: {', '.join(one['warns'])}",
                    WIDTH,
                    initial_indent="     ",
                    subsequent_indent="     ",
                )
            )
    if "conflict" in answer:
        lines.append(fill(answer["conflict"]["text"], WIDTH))
    lines += [
        "",
        f"Catalog {answer['catalog']['version']} {answer['catalog']['digest'][:19]}, rulebook {answer['rulebook']['digest'][:19]}, service {answer['service']}",
    ]
    return "\n".join(lines)


def _title(answer: dict, slot: str, number: str) -> str:
    parts = next(one["parts"] for one in answer["slots"] if one["slot"] == slot)
    return next(part["title"] for part in parts if part["number"] == number)
