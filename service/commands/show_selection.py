"""A selection of parts as text."""

from textwrap import fill
from typing import Any

WIDTH = 118


def render_selection(answer: dict[str, Any]) -> str:
    """The best sets with their prices, or what stands in the way."""
    lines = []
    for rank, part_set in enumerate(answer["sets"], start=1):
        proved = "" if answer["proved"] else ", not proved to be the best"
        objective = answer["objective"].replace("_", " ")
        lines.append(f"{rank}. {part_set['text']}, {part_set['verdict']} ({objective}{proved})")
        lines += [
            f"     {slot.replace('_', ' '):26}{number:14}{_title(answer, slot, number)}"
            for slot, number in part_set["parts"].items()
        ]
        if part_set["warns"]:
            lines.append(
                fill(
                    f"warns: {', '.join(part_set['warns'])}",
                    WIDTH,
                    initial_indent="     ",
                    subsequent_indent="     ",
                )
            )
    if "conflict" in answer:
        lines.append(fill(answer["conflict"]["text"], WIDTH))
    lines += [
        "",
        f"Catalog {answer['catalog']['version']} {answer['catalog']['digest'][:19]}, "
        f"rulebook {answer['rulebook']['digest'][:19]}, service {answer['service']}",
    ]
    return "\n".join(lines)


def _title(answer: dict[str, Any], slot: str, number: str) -> str:
    parts = next(entry["parts"] for entry in answer["slots"] if entry["slot"] == slot)
    return str(next(part["title"] for part in parts if part["number"] == number))
