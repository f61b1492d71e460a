"""What the views share: immutable for the life of the process."""

from dataclasses import dataclass
from typing import Any

from flask import current_app

from service.catalog.catalog import Catalog
from service.evaluation.evaluate import Evaluator
from service.rulebook.rulebook import Rulebook
from service.web.api.requests.load import RequestLoader
from service.web.api.requests.queries import QueryLoader
from service.web.api.word_search import WordSearch


@dataclass(frozen=True)
class State:
    """What is loaded, and what is made of it once."""

    rulebook: Rulebook
    evaluator: Evaluator
    contract: dict[str, Any]
    requests: RequestLoader
    queries: QueryLoader
    catalog: Catalog | None
    words: WordSearch

    @property
    def catalog_digest(self) -> str | None:
        """Of the catalog loaded, None where there is none."""
        return self.catalog.digest if self.catalog else None


def state_of_app() -> State:
    """The state of the running app."""
    state: State = current_app.extensions["engine-build-rules"]
    return state
