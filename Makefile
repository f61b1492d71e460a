# Two commands for a newcomer: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
COMPILE := $(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-emit-index-url --no-emit-find-links
PORT ?= 8077

.PHONY: demo test proof bench serve contract golden lock clean

$(STAMP): tests/requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r tests/requirements.lock
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

# Starts the service on loopback, posts the demo build, prints the verdict, stops the service.
demo: $(STAMP)
	@$(BIN)/python -m service demo --port $(PORT)

test: $(STAMP)
	$(BIN)/python -m pytest

# The long measurements, about half an hour; `make proof ONLY=saturation` for one.
proof: $(STAMP)
	$(BIN)/python -m tests.proof $(ONLY)

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

serve: $(STAMP)
	$(BIN)/gunicorn --config docker/gunicorn.conf.py service.wsgi:app

contract: $(STAMP)
	$(BIN)/python -m service contract > openapi/openapi.yaml

# Regression pins over the fixed catalog; prints what changed.
golden: $(STAMP)
	$(BIN)/python -m tests.golden.pins

# requirements.lock is what runs (the image installs it, the rulebook's digest covers it); the other adds what tests it.
lock: $(STAMP)
	$(BIN)/pip install --quiet pip-tools
	$(COMPILE) --extra postgres -o requirements.lock pyproject.toml
	$(COMPILE) --all-extras --constraint requirements.lock -o tests/requirements.lock pyproject.toml

clean:
	rm -rf $(VENV) build *.egg-info
