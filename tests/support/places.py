"""Where things are."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RULES = ROOT / "rules"
EXAMPLES = ROOT / "openapi" / "examples"
CATALOG = ROOT / "tests" / "catalog"
WINCH_RULES = ROOT / "tests" / "evaluation" / "winch_rules"
SMALL_RULES = ROOT / "tests" / "rulebook" / "small_rules"
