# `make demo` and `make test` set up everything they need from nothing but make and a Python with venv.
#
#   make demo         the example aeroplanes' plan sets, in out/demo
#   make test         all tests, with branch coverage
#   make lint         style, types, import directions
#   make benchmarks   the speed figures
#   make docs         the tables in docs/ that are made from the code
#   make wheel        the package, in dist/
#   make lock         newer library versions, into constraints.txt
#   make clean        removes what these commands made
#
# PYTHON=/path/to/python chooses the interpreter (3.11 or newer) that a new environment is made with;
# VENV=folder names the environment.

VENV ?= .venv
PYTHON ?=
JOBS ?= 2

BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet
RUNTIME := $(VENV)/.foldwright-runtime
DEV := $(VENV)/.foldwright-dev

.PHONY: help demo test lint format benchmarks docs wheel lock clean

help:
	@sed -n 's/^#   //p' Makefile

$(BIN)/python:
	@set -e; chosen=""; \
	for candidate in $(or $(PYTHON),python3 python3.13 python3.12 python3.11 python3.14 python); do \
	  if "$$candidate" -c 'import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; \
	  then chosen="$$candidate"; break; fi; \
	done; \
	if [ -z "$$chosen" ]; then \
	  echo "No Python 3.11 or newer with venv was found; name one with: make PYTHON=/path/to/python" >&2; \
	  exit 1; \
	fi; \
	echo "Making $(VENV) with $$("$$chosen" --version)"; \
	"$$chosen" -m venv "$(VENV)"

# The build backend comes first, pinned like the rest, so that no second environment is made for it.
$(RUNTIME): pyproject.toml constraints.txt | $(BIN)/python
	@echo "Installing Foldwright and what it runs on (once; a minute or two)"
	@$(PIP) --version >/dev/null 2>&1 || $(BIN)/python -m ensurepip --upgrade >/dev/null
	@$(PIP) install --constraint constraints.txt hatchling
	@$(PIP) install --constraint constraints.txt --no-build-isolation --editable .
	@touch $@

$(DEV): $(RUNTIME)
	@echo "Installing the tools for tests and checks (once)"
	@$(PIP) install --constraint constraints.txt --no-build-isolation --editable '.[dev]'
	@touch $@

demo: $(RUNTIME)
	$(BIN)/foldwright demo --out out/demo

test: $(DEV)
	$(BIN)/python -m pytest -p no:benchmark -n $(JOBS) --cov --cov-report=term

lint: $(DEV)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy --strict src tests benchmarks
	$(BIN)/lint-imports --no-logo

format: $(DEV)
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

benchmarks: $(DEV)
	$(BIN)/python -m pytest benchmarks --benchmark-columns=min,median,max,rounds --benchmark-sort=name

docs: $(DEV)
	$(BIN)/python -m tests.validation_table
	$(BIN)/python -m tests.docs_tables
	$(BIN)/python -m tests.docs_pictures

wheel: $(DEV)
	$(BIN)/python -m build --wheel --no-isolation --outdir dist .

# Newest versions that the ranges in pyproject.toml allow, written to constraints.txt.
lock: | $(BIN)/python
	rm -rf out/lock && $(BIN)/python -m venv out/lock
	out/lock/bin/python -m pip --disable-pip-version-check --quiet install '.[dev]'
	(echo '# Every library that Foldwright, its tests and its checks install, pinned: make lock'; \
	  out/lock/bin/python -m pip freeze --exclude foldwright \
	  | awk -F== '{ gsub("[_.]", "-", $$1); print tolower($$1) "==" $$2 }' | LC_ALL=C sort -t= -k1,1) > out/constraints.txt
	mv out/constraints.txt constraints.txt

clean:
	rm -rf $(VENV) out build dist htmlcov .coverage .coverage.* .benchmarks .hypothesis
	rm -rf .mypy_cache .ruff_cache .pytest_cache .import_linter_cache
