"""The app in this process, without gunicorn, and the answers that a load is held against."""

import os
from collections.abc import Callable
from contextlib import contextmanager

from flask import Flask

from service.app import create_app
from tests.proof.load import Question
from tests.support.server import SETTINGS


def app_with(write: Callable[[dict], None] | None = None, **settings: str) -> Flask:
    """The app under these settings and no others; log lines go to `write`."""
    with _settings(settings):
        return create_app(write)


def answer(app: Flask, body: bytes, path: str = "/v1/evaluations") -> tuple[int, bytes]:
    """(status, body) of one POST."""
    reply = app.test_client().post(path, data=body, content_type="application/json")
    return reply.status_code, reply.data


def questions(bodies: list[bytes], *apps: Flask, path: str = "/v1/evaluations") -> list[Question]:
    """The bodies, each with the answer of every app."""
    return [Question(body, tuple(answer(app, body, path) for app in apps), path) for body in bodies]


@contextmanager
def _settings(settings: dict[str, str]):
    before = {name: os.environ.pop(name) for name in SETTINGS if name in os.environ}
    os.environ.update(settings)
    try:
        yield
    finally:
        for name in settings:
            os.environ.pop(name, None)
        os.environ.update(before)
