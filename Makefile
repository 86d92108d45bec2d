# Everything runs from .venv, which is made from the lock files alone. Stamp files record what it holds,
# so a second run starts at once.

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DELETE_ON_ERROR:
MAKEFLAGS += --no-builtin-rules
.DEFAULT_GOAL := help

# A shim of that name may exist without its Python behind it, hence the trial run.
PYTHON ?= $(shell python3.11 -c '' 2>/dev/null && echo python3.11 || echo python3)
VENV := .venv
BIN := $(VENV)/bin
# --only-binary keeps build scripts, and the build tools that they would fetch unpinned, from running.
LOCKED := --quiet --require-hashes --no-deps --only-binary :all:
INSTALL := $(BIN)/python -m pip install --disable-pip-version-check $(LOCKED)
# uv takes a tenth of pip's time, but reads none of its settings: where it finds no registry, pip may.
FILL := $(BIN)/uv pip install --python $(BIN)/python --compile-bytecode $(LOCKED)
# The plugins' tables are laid out by hand in columns, which the formatter would close up.
FORMATTED_TOML := pyproject.toml .taplo.toml
# For more arguments to pytest, such as PYTEST_ARGS="-n auto".
PYTEST_ARGS ?=

.PHONY: help demo test lint format deadcode bench capacity mutants openapi container sbom licences audit lock clean

help:  ## List the targets.
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "%-10s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

# The runtime lock fills an emptied environment, so nothing that left the lock lingers.
$(VENV)/.stamp-runtime: requirements.lock requirements-build.lock
	$(PYTHON) -m venv --clear $(VENV)
	$(INSTALL) -r <(awk '/^[^ ]/ { own = /^uv==/ } own' requirements-dev.lock)
	$(FILL) -r requirements.lock -r requirements-build.lock || \
		$(INSTALL) -r requirements.lock -r requirements-build.lock
	touch $@

# Entry points are written at install time, so a change of pyproject.toml installs again.
$(VENV)/.stamp-project: $(VENV)/.stamp-runtime pyproject.toml
	$(BIN)/python -m pip install --disable-pip-version-check --quiet --no-index --no-deps \
		--no-build-isolation --editable .
	touch $@

$(VENV)/.stamp-dev: $(VENV)/.stamp-project requirements-dev.lock
	$(FILL) -r requirements-dev.lock || $(INSTALL) -r requirements-dev.lock
	touch $@

demo: $(VENV)/.stamp-project  ## Price sample parts against a service started for the purpose.
	$(BIN)/python -m tallyplate.demo openapi/examples/plate.json

test: $(VENV)/.stamp-dev  ## Install what the tests need, and run them.
	tests/system_packages.sh
	$(BIN)/pytest $(PYTEST_ARGS)

lint: $(VENV)/.stamp-dev  ## Check style, types, import rules, TOML files and the Dockerfile.
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/taplo lint
	$(BIN)/taplo format --check $(FORMATTED_TOML)
	$(BIN)/hadolint Dockerfile

format: $(VENV)/.stamp-dev  ## Rewrite sources to the style that lint asks for.
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .
	$(BIN)/taplo format $(FORMATTED_TOML)

deadcode: $(VENV)/.stamp-dev  ## List code that nothing uses.
	$(BIN)/vulture

bench: $(VENV)/.stamp-dev  ## Measure the service.
	$(BIN)/python -m tests.bench

capacity: $(VENV)/.stamp-dev  ## Measure what a core serves, for service/deploy/capacity.md.
	$(BIN)/python -m tests.bench.capacity

mutants: $(VENV)/.stamp-dev  ## Check that the tests notice changes made to the sources on purpose.
	$(BIN)/python -m tests.mutants

openapi: $(VENV)/.stamp-project  ## Write the OpenAPI document.
	$(BIN)/python -m tallyplate.http.openapi openapi/openapi.json

container: $(VENV)/.stamp-dev  ## Run the Dockerfile's steps without a container engine.
	rm -rf build/container
	PYTHON=$(PYTHON) tests/container_steps.sh build/container

sbom: $(VENV)/.stamp-dev  ## Write the list of the service's parts, as CycloneDX, to build/sbom.json.
	$(BIN)/python -m tests.supply.sbom build/sbom.json

licences: $(VENV)/.stamp-dev  ## List the licences of all that is installed with the service; fail on one not allowed.
	$(BIN)/python -m tests.supply.licences

# For an advisory source of one's own: AUDIT_ARGS="--vulnerability-service=osv --osv-url=URL".
AUDIT_ARGS ?=

audit: $(VENV)/.stamp-dev  ## Look up known vulnerabilities of all that is locked (75: not audited).
	$(BIN)/python -m tests.supply.audit $(AUDIT_ARGS)

# Pins that still fit are kept, so without a change of the inputs the files stay as they are; UPGRADE=1
# takes the newest versions instead. The dev lock holds everything and is made first; the smaller ones
# are constrained by it, so that the three never disagree.
UPGRADE ?=
# What the image can do beyond pricing. It makes pages and no PDF, whose libraries a slim image lacks.
IMAGE_EXTRAS := documents drawings quotes sheets traces
COMPILE := $(BIN)/uv pip compile --quiet --no-config --universal --python-version 3.11 --generate-hashes \
	--only-binary :all: --no-annotate --no-header --no-emit-index-url --no-emit-find-links \
	$(if $(UPGRADE),--upgrade)

lock: $(VENV)/.stamp-dev  ## Pin the dependencies again (UPGRADE=1 for newer versions).
	mkdir -p build
	cp requirements-dev.lock build/dev.lock
	$(COMPILE) pyproject.toml --group dev --group build --output-file build/dev.lock
	cp requirements-dev.lock build/tables.lock
	$(COMPILE) --group tables --no-deps --output-file build/tables.lock
	cp requirements.lock build/runtime.lock
	$(COMPILE) pyproject.toml $(IMAGE_EXTRAS:%=--extra %) --constraints build/dev.lock --output-file build/runtime.lock
	cp requirements-build.lock build/build.lock
	$(COMPILE) --group build --constraints build/dev.lock --output-file build/build.lock
	cat build/tables.lock >> build/dev.lock
# A lock that stays as it is keeps its time stamp, so nothing is installed again.
	for part in runtime:requirements.lock build:requirements-build.lock dev:requirements-dev.lock; do \
		cmp -s "build/$${part%%:*}.lock" "$${part#*:}" || cp "build/$${part%%:*}.lock" "$${part#*:}"; \
	done

clean:  ## Remove everything that was made here.
	rm -rf $(VENV) build dist .hypothesis .schemathesis .import_linter_cache .mypy_cache .pytest_cache \
		.ruff_cache
	find service plugins tests -name __pycache__ -type d -prune -exec rm -rf {} +
