"""Packages that come with an extra: a command that lacks one says what to install."""

from importlib.util import find_spec

from service.errors import ServiceError


def need_extra(extra: str, *modules: str) -> None:
    """ServiceError where one of the modules of an extra is not installed."""
    missing = [module for module in modules if find_spec(module) is None]
    if missing:
        raise ServiceError(
            f"This needs {' and '.join(missing)}, which come with the extra `{extra}`: "
            f"pip install 'engine-build-rules[{extra}]'."
        )
