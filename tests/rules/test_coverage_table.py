"""tests/README.md holds the table of what each check rests on, and it is today's."""

from tests.rules.coverage_table import README, published, rows
from tests.support.measured import with_block

TEXT = README.read_text(encoding="utf-8")


def test_the_table_is_todays():
    """All but the few rows of checks that were changed since; `make golden` writes them."""
    old = [name for name, row in rows().items() if row not in TEXT]
    assert len(old) <= 0.05 * len(rows()), f"{old}: run `make golden`"


def test_most_limits_are_published():
    assert len(published()) >= 34


def test_a_block_takes_the_place_of_the_one_before():
    text = "# Title\n\n### first\n\nold\n\n### second\n\nkept\n"
    changed = with_block(text, "first", "new")
    assert "old" not in changed and "new" in changed and changed.endswith("### second\n\nkept\n")
    assert with_block(text, "third", "new").startswith(text)
