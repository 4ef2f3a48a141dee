# Needs Python 3.11 or newer with pip, and make. `make` alone lists what it can do.

PYTHON ?= python3
VENV ?= .venv
PYTEST_ARGS ?= -q
BIN := $(VENV)/bin
# The build back end warns at every editable installation, with nothing to be done about it.
PIP := PYTHONWARNINGS='ignore:Editable installation' $(BIN)/python -m pip --disable-pip-version-check

# Stamps: touched when an installation has succeeded, older than pyproject.toml when it is stale.
INSTALLED := $(VENV)/.installed
INSTALLED_DEV := $(VENV)/.installed-dev

.DELETE_ON_ERROR:
.PHONY: help demo test lint types bench soak clean

help: ## list the targets
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-6s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

demo: $(INSTALLED) ## print the ranked layouts for an invented start-up
	$(BIN)/lineconfig recommend examples/startup.yaml

test: $(INSTALLED_DEV) ## run the full test suite, without the soaks
	$(BIN)/python -m pytest -n auto $(PYTEST_ARGS)

lint: $(INSTALLED_DEV) ## check style and formatting
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(INSTALLED_DEV) ## check types
	$(BIN)/mypy

bench: $(INSTALLED_DEV) ## compare with general-purpose solvers
	$(BIN)/python -m bench
	$(BIN)/python -m bench.simulation
	$(BIN)/python -m bench.placement

soak: $(INSTALLED_DEV) ## run the long random tests
	$(BIN)/python -m pytest -m slow --hypothesis-profile=soak $(PYTEST_ARGS)

clean: ## remove the environment, caches and built files
	rm -rf $(VENV) build dist *.egg-info .hypothesis .mypy_cache .pytest_cache .ruff_cache
	find bench lineconfig tests -type d -name __pycache__ -prune -exec rm -rf {} +

# Where the system's Python comes without ensurepip, its pip serves the new environment.
$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit("lineconfig needs Python 3.11 or newer: make PYTHON=python3.11" if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv $(VENV) || { $(PYTHON) -m venv --clear --without-pip $(VENV) \
		&& $(PYTHON) -m pip --python $(BIN)/python install --quiet pip; }

$(INSTALLED): pyproject.toml setup.py | $(BIN)/python
	$(PIP) install --quiet --editable .
	touch $@

$(INSTALLED_DEV): pyproject.toml setup.py | $(BIN)/python
	$(PIP) install --quiet --editable '.[dev]'
	touch $(INSTALLED) $@
