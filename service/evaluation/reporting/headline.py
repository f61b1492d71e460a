"""One breath that says how it stands, fit to read aloud."""

from dataclasses import dataclass, field

from service.evaluation.reporting.brevity import within, words_in
from service.evaluation.reporting.entry import Entry
from service.rulebook.rulebook import Rulebook

# What a person takes in at once.
MOST_WORDS = 25


@dataclass(frozen=True, slots=True)
class Standing:
    """How a build stands: the verdict of the whole, the checks judged, those that had to be.

    `scope` and `contradictions`: what the rules do not model of this build, and where it contradicts itself,
    in words. `goals`: what was asked for and nothing judged.
    """

    verdict: str
    entries: list[Entry]
    require: tuple[str, ...] = ()
    scope: list[str] = field(default_factory=list)
    contradictions: list[str] = field(default_factory=list)
    goals: list[str] = field(default_factory=list)

    @property
    def worst(self) -> list[Entry]:
        """The checks that decide, the one furthest past its limit first."""
        entries = [entry for entry in self.entries if entry.verdict == self.verdict]
        return sorted(entries, key=lambda entry: entry.margin)


def headline(standing: Standing, rulebook: Rulebook) -> str:
    """The most important thing first: what is not modelled, what contradicts itself, what decides."""
    first = [*standing.scope[:1], *standing.contradictions[:1]]
    if not standing.entries and first:
        return _brief(first)
    if standing.verdict == "not_checked":
        return _brief([*first, _not_checked(standing, rulebook)])
    if standing.verdict == "pass":
        return _brief([*first, *_passed(standing)])
    decided, *about_it = _decided(standing, rulebook)
    told = _brief([*first, decided])
    # Where it does not fit, what it depends on would be read as about something else.
    return _brief([told, *about_it]) if decided in told else told


def _brief(sentences: list[str]) -> str:
    return within(sentences, MOST_WORDS)


def _decided(standing: Standing, rulebook: Rulebook) -> list[str]:
    """What fails or warns worst, what that depends on, and how many more."""
    worst = standing.worst
    decides = worst[0]
    fails = standing.verdict == "fail"
    start = "Workable, with caution:"
    if fails:
        start = "May not work as planned:" if decides.could_pass else "Won't work as planned:"
    text = f"{start} {inside(decides.first)}" if decides.first else ""
    if not text or words_in(text) > MOST_WORDS:
        short = rulebook.checks[decides.check].short
        text = f"{start} the {short} {'fails' if fails else 'gives a warning'}."
    cause = f"It depends on {decides.cause}." if decides.cause else ""
    others = len(worst) - 1
    verb = ("fail" if fails else "warn") + ("s" if others == 1 else "")
    more = f"{_count(others, 'more check')} {verb}." if others else ""
    return [text, cause, more]


def inside(sentence: str) -> str:
    """A sentence after a colon; abbreviations and figures stay."""
    return sentence if sentence[:2].isupper() else sentence[:1].lower() + sentence[1:]


def _passed(standing: Standing) -> list[str]:
    """Never more than it is: nothing found in the numbers given, and no pass for what nothing judged."""
    entries = standing.entries
    passed = f"{_count(len(entries), 'check')} passed."
    if standing.goals:
        goals = " and the ".join(standing.goals)
        return [f"I can't judge the {goals} yet; the questions say what is missing.", f"Of the rest {passed}"]
    found = f"Nothing found in the numbers given: {passed}"
    doubted = [entry for entry in entries if entry.in_doubt]
    within_given = sum(entry.all_stated for entry in doubted)
    not_given = len(doubted) - within_given
    rest = []
    if not_given:
        verb = "rests" if not_given == 1 else "rest"
        rest.append(f"{not_given} of them {verb} on assumptions.")
    if within_given:
        rest.append(f"{within_given} could turn within the spread of what was given.")
    return [found, *rest]


def _not_checked(standing: Standing, rulebook: Rulebook) -> str:
    judged = {entry.check for entry in standing.entries}
    lacking = [check for check in standing.require if check not in judged]
    if lacking and judged:
        return f"I can't judge the {rulebook.checks[lacking[0]].short} yet, and it has to be decided."
    return "That's not enough to judge anything yet; the questions say what is missing."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
