"""The one tree of errors this service raises on purpose.

ServiceError
 +- RulebookError    a rule file is wrong: the service must not start
 |   +- CatalogError a part is wrong: the catalog must not be served
 |   +- TokensError  the file of tokens is wrong: nobody could be let in
 +- SpecError        a request is well-formed JSON but says something it may not
 +- TooMuchWorkError a request asks for more than one call may cost
 +- PinError         the rulebook or the catalog a client pinned is not the one loaded
 +- NotInstalledError a package that comes with an extra is not installed
"""

from typing import NamedTuple


class ServiceError(Exception):
    """Root of every error raised on purpose."""


class Problem(NamedTuple):
    """One mistake in a rule file, where it is, and what fixes it."""

    file: str
    line: int
    message: str
    fix: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.message} {self.fix}".rstrip()


class NotInstalledError(ServiceError):
    """Something needs packages that come with an extra."""


class RulebookError(ServiceError):
    """A rule file cannot be used."""

    def __init__(self, problems: list[Problem]):
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


class CatalogError(RulebookError):
    """A catalog cannot be used."""


class TokensError(RulebookError):
    """A file of tokens cannot be used."""


class SpecFault(NamedTuple):
    """One fault of a request: where (JSON Pointer), what, what was expected, and what was probably meant;
    `options` where several are as probable.
    """

    pointer: str
    code: str
    detail: str
    expected: str | None = None
    suggestion: str | None = None
    options: tuple[str, ...] = ()

    def told(self) -> dict[str, str | tuple[str, ...]]:
        """What a client is told: the fields that say something."""
        return {key: value for key, value in self._asdict().items() if value not in (None, ())}


class SpecError(ServiceError):
    """A request holds faults; all of them are listed."""

    def __init__(self, faults: list[SpecFault]):
        self.faults = faults
        super().__init__("; ".join(fault.detail for fault in faults))


class PinError(ServiceError):
    """The pinned rulebook or catalog is not the loaded one; `loaded` is None where there is no catalog."""

    def __init__(self, pinned: str, loaded: str | None):
        self.pinned, self.loaded = pinned, loaded
        super().__init__(f"the {pinned} loaded is {loaded}")


class TooMuchWorkError(ServiceError):
    """A request is over a cap of work, counted and not timed."""

    def __init__(self, asked: str, cap: str):
        self.asked, self.cap = asked, cap
        super().__init__(f"{asked} are asked for; the most is {cap}")
