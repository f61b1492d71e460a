# Two commands for a newcomer: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUNS := $(VENV)/.runs
STAMP := $(VENV)/.installed
COMPILE := $(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-emit-index-url --no-emit-find-links
PORT ?= 8077

.PHONY: demo test quick lint lint-contract format proof bench serve contract golden pictures lock clean

# What runs.
$(RUNS): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

# The same and what tests it.
$(STAMP): $(RUNS) tests/requirements.lock
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r tests/requirements.lock
	touch $@

# Starts the service on loopback, judges an engine with a kit, prints what stops it and what to buy, stops it.
# `make demo KEEP=1` leaves it running, with its page.
demo: $(RUNS)
	@$(BIN)/python -m service demo --port $(PORT) $(if $(KEEP),--keep)

# On every core. One test: .venv/bin/python -m pytest tests/units/test_units.py -k name
test: $(STAMP)
	$(BIN)/python -m pytest -n auto --dist loadfile

# Without the statistics and the servers: a fifth of the time.
quick: $(STAMP)
	$(BIN)/python -m pytest -n auto --dist loadfile -m "not slow"

lint: $(STAMP)
	$(BIN)/ruff format --check service tests
	$(BIN)/ruff check service tests
	$(BIN)/mypy

# By linters of the contract that run on node.
lint-contract:
	npx --yes --package @stoplight/spectral-cli@6.16.3 spectral lint --fail-severity warn --ruleset .ci/spectral.yaml openapi/openapi.yaml
	npx --yes --package @redocly/cli@2.77.0 redocly lint --extends recommended openapi/openapi.yaml

format: $(STAMP)
	$(BIN)/ruff format service tests
	$(BIN)/ruff check --fix service tests

# The long measurements, about half an hour; `make proof ONLY=saturation` for one.
proof: $(STAMP)
	$(BIN)/python -m tests.proof $(ONLY)

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

serve: $(STAMP)
	$(BIN)/gunicorn --config docker/gunicorn.conf.py service.wsgi:app

# The examples are what the service answers now.
contract: $(STAMP)
	$(BIN)/python -m tests.web.contract_examples
	$(BIN)/python -m service contract > openapi/openapi.yaml

# Regression pins over the fixed catalog, printing what changed; and the table of tests/README.md.
golden: $(STAMP)
	$(BIN)/python -m tests.golden.pins
	$(BIN)/python -m tests.rules.coverage_table

# The pictures of README.md: the demo build on the page and on paper.
pictures: $(STAMP)
	$(BIN)/python -m tests.web.pages.pictures

# requirements.lock is what runs (the image installs it, the rulebook's digest covers it); docker/small.lock is the same without
# statistics, solver and database, tests/requirements.lock adds what tests it.
lock: $(STAMP)
	$(BIN)/pip install --quiet pip-tools
	$(COMPILE) --extra statistics --extra solver --extra postgres -o requirements.lock pyproject.toml
	$(COMPILE) --constraint requirements.lock -o docker/small.lock pyproject.toml
	$(COMPILE) --all-extras --constraint requirements.lock -o tests/requirements.lock pyproject.toml

clean:
	rm -rf $(VENV) build *.egg-info
