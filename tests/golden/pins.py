"""Answers to fixed requests over the fixed catalog, pinned; `make golden` pins them anew and shows what changed.

These are regression pins: they say that nothing changed, not that it is right. The digests of rulebook and catalog are part of them.
"""

import difflib
import json
import os
import sys
from pathlib import Path

HERE = Path(__file__).parent
CATALOG = HERE.parent / "catalog"


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
        name: json.dumps(client.post(one["path"], json=one["body"]).get_json(), indent=1, ensure_ascii=False)
        + "\n"
        for name, one in requests.items()
    }


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
