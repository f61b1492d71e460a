"""What people write into a field: the value that the worked examples of the rules give it most often."""

from collections import Counter

from service.kept import Kept
from service.rulebook.rulebook import Rulebook


class Written:
    """By input, how often which text is given."""

    def __init__(self, rulebook: Rulebook):
        self.texts: dict[str, Counter[str]] = {}
        for check in rulebook.checks.values():
            for example in check.examples:
                for path, text in example.given.items():
                    if isinstance(text, str):
                        self.texts.setdefault(str(path), Counter())[str(text)] += 1


def example_in_rules(rulebook: Rulebook, path: str) -> str:
    """The text, empty where no example gives one."""
    kept: Kept = rulebook.kept
    texts = kept.once(Written, lambda: Written(rulebook)).texts
    return texts[path].most_common(1)[0][0] if path in texts else ""
