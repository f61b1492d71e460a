"""Packages that come with an extra: what lacks one says what to install."""

from importlib.util import find_spec

from service.errors import NotInstalledError


def need_extra(extra: str, *modules: str) -> None:
    """NotInstalledError where one of the modules of an extra is not installed."""
    missing = [module for module in modules if find_spec(module) is None]
    if missing:
        raise NotInstalledError(
            f"This needs {' and '.join(missing)}, which come with the extra `{extra}`: "
            f"pip install 'engine-build-rules[{extra}]'."
        )
