"""Everything the rule files say, held against the rest of them, before anything runs."""
