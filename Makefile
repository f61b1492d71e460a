# Two commands for a newcomer: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
PORT ?= 8077

.PHONY: demo test bench serve contract golden lock clean

$(STAMP): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

# Starts the service on loopback, posts the demo build, prints the verdict, stops the service.
demo: $(STAMP)
	@$(BIN)/python -m service demo --port $(PORT)

test: $(STAMP)
	$(BIN)/python -m pytest

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

serve: $(STAMP)
	$(BIN)/gunicorn --config docker/gunicorn.conf.py service.wsgi:app

contract: $(STAMP)
	$(BIN)/python -m service contract > openapi/openapi.yaml

# Regression pins over the fixed catalog; prints what changed.
golden: $(STAMP)
	$(BIN)/python -m tests.golden.pins

lock: $(STAMP)
	$(BIN)/pip install --quiet pip-tools
	$(BIN)/pip-compile --quiet --all-extras --generate-hashes --allow-unsafe --strip-extras -o requirements.lock pyproject.toml

clean:
	rm -rf $(VENV) build *.egg-info
