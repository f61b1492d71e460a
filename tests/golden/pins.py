"""Answers to fixed requests over the fixed catalog, pinned; `make golden` pins them anew and shows what
changed.

These are regression pins: they say that nothing changed, not that it is right. Digests are left out: they
change with every rule, and what they identify is tested in tests/rulebook/test_digest.py.
"""

import difflib
import json
import os
import sys
from pathlib import Path

HERE = Path(__file__).parent
CATALOG = HERE.parent / "catalog"


# What changes with every rule and every line of code.
DIGESTS = ("digest", "evaluation")
READABLE = {"indent": 1, "ensure_ascii": False}


def answers() -> dict[str, str]:
    """What the service answers now, as readable JSON, by the name of the request."""
    os.environ["CATALOG"] = str(CATALOG)
    try:
        from service.app import create_app

        client = create_app().test_client()
    finally:
        del os.environ["CATALOG"]
    requests = json.loads((HERE / "requests.json").read_text(encoding="utf-8"))
    return {
        name: json.dumps(_pinned_part(client.post(call["path"], json=call["body"]).get_json()), **READABLE)
        + "\n"
        for name, call in requests.items()
    }


def _pinned_part(answer: object) -> object:
    """An answer without its digests."""
    if isinstance(answer, dict):
        return {key: _pinned_part(value) for key, value in answer.items() if key not in DIGESTS}
    return [_pinned_part(value) for value in answer] if isinstance(answer, list) else answer


def pinned(name: str) -> str:
    path = HERE / "answers" / f"{name}.json"
    return path.read_text(encoding="utf-8") if path.exists() else ""


def main() -> int:
    changed = 0
    (HERE / "answers").mkdir(exist_ok=True)
    for name, answer in answers().items():
        before = pinned(name)
        if answer != before:
            changed += 1
            sys.stdout.writelines(
                difflib.unified_diff(
                    before.splitlines(True), answer.splitlines(True), f"{name}, pinned", f"{name}, now", n=2
                )
            )
            (HERE / "answers" / f"{name}.json").write_text(answer, encoding="utf-8")
    print(f"{changed} answers pinned anew.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
