"""What is watched while the engine runs: the watch item of a check, and rules/moments.yaml."""

from service.rulebook.check import Moment, Watch
from service.rulebook.files.section import Section
from service.rulebook.files.text import Sentence, parse_sentence, sentence
from service.rulebook.files.yaml_file import Items


def parse_watch(section: Section) -> Watch:
    """The watch item of a check: it expects the check's value and stops at its fail limit unless it says
    otherwise.
    """
    watch = Watch(
        str(section.text("signal")),
        tuple(str(moment) for moment in section.items("moments")),
        _sentence(section, "expect") if section.has("expect") else parse_sentence("{value}", section.line),
        _sentence(section, "stop_at") if section.has("stop_at") else None,
    )
    section.finish()
    return watch


def parse_moment(section: Section) -> Moment:
    """One entry of rules/moments.yaml: where a job may stand, and what is watched then."""
    watch = tuple(
        _item(Section(section.file, f"{section.name}.watch", item, getattr(item, "line", section.line)))
        for item in section.items("watch", Items())
    )
    moment = Moment(section.name, str(section.text("label")), watch)
    section.finish()
    return moment


def _item(section: Section) -> Watch:
    """An item that belongs to no check says all of it."""
    watch = Watch(
        str(section.text("signal")), (), _sentence(section, "expect"), _sentence(section, "stop_at")
    )
    section.finish()
    return watch


def _sentence(section: Section, key: str) -> Sentence:
    return sentence(section, section.sentence(key))
