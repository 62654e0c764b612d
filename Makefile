# birdsmouth: two commands set everything up on a fresh machine with Python 3.11 or newer.
#   make demo    check the demo designs over HTTP and print what was found
#   make test    run every test
# Others: make check (style, types, layers, image file), make lock (renew the lock files), make prove (long proofs), make bench,
#   make sbom (parts and licences of what runs), make callgrind (instruction counts, needs valgrind), make clean.

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:

# The newest Python on PATH that runs, from 3.11 on; `make demo PYTHON=/path/to/python` overrides.
PYTHON ?= $(shell for name in python3.14 python3.13 python3.12 python3.11 python3 python; do \
	  if "$$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then command -v "$$name"; break; fi; done)
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --no-input -qq
export OPENBLAS_NUM_THREADS := 1
export OMP_NUM_THREADS := 1
export MKL_NUM_THREADS := 1

.PHONY: help demo test check lock prove bench sbom callgrind clean
help:
	@sed -n '1,5s/^# \{0,1\}//p' Makefile

demo: $(VENV)/.run
	@$(BIN)/birdsmouth demo

test: $(VENV)/.all
	@$(BIN)/python -m pytest -n auto --dist loadfile $(ARGS)

check: $(VENV)/.all
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-logo
	@$(BIN)/hadolint Dockerfile

# Long proofs: fuzzing, load, soak, large comparisons, hours in all. Not part of CI. `make prove PROVE_SHARE=0.01` does a hundredth of the
# service's, to see that they run; ARGS names one: `make prove ARGS=tests/service/test_worker_under_load.py`.
prove: $(VENV)/.all
	@PROVE_SHARE=$(or $(PROVE_SHARE),1) $(BIN)/python -m pytest -m prove --hypothesis-profile=searching -s -v $(ARGS)

bench: $(VENV)/.all
	@for file in tests/bench/*.py tests/bench/*/*.py; do if [ -f "$$file" ]; then echo "== $$file"; $(BIN)/python "$$file"; fi; done

# What the running service is made of (CycloneDX) and under which licences: of the run-time set alone, in an environment of its own.
sbom: $(VENV)/.all
	@made="$$(mktemp -d)"; trap 'rm -rf "$$made"' EXIT; mkdir -p build; \
	"$(PYTHON)" -m venv "$$made/run"; \
	"$$made/run/bin/python" -m pip --disable-pip-version-check -qq install --no-deps --require-hashes -r requirements-run.lock; \
	"$$made/run/bin/python" -m pip uninstall --yes -qq setuptools pip 2>/dev/null; \
	$(BIN)/cyclonedx-py environment --pyproject pyproject.toml --mc-type application --output-reproducible -o build/sbom.json "$$made/run/bin/python"; \
	$(BIN)/pip-licenses --python "$$made/run/bin/python" --format markdown --order license --output-file build/licences.md; \
	echo "build/sbom.json and build/licences.md: $$(grep -c '^| [^N]' build/licences.md) packages"

# Optional: instructions of one analysis, which no neighbour on the machine disturbs. Says so where valgrind is missing.
callgrind: $(VENV)/.all
	@$(BIN)/python tests/solver/instructions.py

clean:
	rm -rf $(VENV) birdsmouth-demo build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis

$(BIN)/python:
	@if [ -z "$(PYTHON)" ]; then echo "make: no Python 3.11 or newer on PATH. Debian and Ubuntu: apt-get install python3 python3-venv" >&2; exit 2; fi
	@if ! "$(PYTHON)" -c 'import ensurepip, venv' >/dev/null 2>&1; then \
	  version="$$("$(PYTHON)" -c 'import sys; print("%d.%d" % sys.version_info[:2])')"; \
	  echo "make: $(PYTHON) cannot make virtual environments: its ensurepip is missing. Debian and Ubuntu: apt-get install python$$version-venv" >&2; exit 2; fi
	@echo "make: setting up $(VENV) with $$("$(PYTHON)" --version)"
	@"$(PYTHON)" -m venv $(VENV)

# What running needs, and no more: the demo is soon there. The lock files are whole, so pip is not to look for more: an older one takes the
# newest of a package that another asks for with an extra, whatever stands in the lock, and stops the day a newer one comes out.
$(VENV)/.run: requirements-run.lock requirements-build.lock pyproject.toml | $(BIN)/python
	@$(PIP) install --no-deps --require-hashes -r requirements-build.lock -r requirements-run.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.all: requirements.lock $(VENV)/.run
	@$(PIP) install --no-deps --require-hashes -r requirements.lock
	@$(PIP) check
	@touch $@

# requirements.lock holds everything; the other two are cut from it and so name the same versions. A lock file that names where the
# packages came from would only work on the machine that made it: such a file is refused and the old one stays.
# Versions stay as they are unless a bound asks for another, or `make lock UPGRADE=--upgrade`.
UV := $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-emit-index-url --no-emit-find-links
lock: $(BIN)/python
	@$(PIP) install 'uv>=0.9,<1'
	@made="$$(mktemp -d)"; trap 'rm -rf "$$made"' EXIT; \
	for old in requirements*.lock; do if [ -f "$$old" ]; then cp "$$old" "$$made"; fi; done; \
	$(UV) $(UPGRADE) --extra test --extra check --extra build pyproject.toml -o "$$made/requirements.lock"; \
	$(UV) --constraint "$$made/requirements.lock" --no-annotate pyproject.toml -o "$$made/requirements-run.lock"; \
	$(UV) --constraint "$$made/requirements.lock" --no-annotate <($(BIN)/python -c 'import tomllib; print(*tomllib.load(open("pyproject.toml", "rb"))["project"]["optional-dependencies"]["build"], sep="\n")') -o "$$made/requirements-build.lock"; \
	if grep -nE 'https?://|file:|--(extra-)?index-url|--find-links|--trusted-host|^-i ' "$$made"/*.lock; then echo "make: a lock file holds an address (above); nothing was changed" >&2; exit 2; fi; \
	mv "$$made"/*.lock .
