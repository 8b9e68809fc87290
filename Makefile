# Two commands matter: `make run` and `make test`. Both install what they need.
VENV ?= .venv
PY := $(VENV)/bin/python
PORT ?= 8000
export PATH := $(CURDIR)/$(VENV)/bin:$(PATH)
.DEFAULT_GOAL := help

.PHONY: help run demo demo-reset assets test check fmt bench evaluate checks soak screenshots lock

help:  ## Show the commands
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 16

$(VENV)/.runtime: requirements.txt
	test -x $(PY) || python3 -m venv $(VENV)
	$(PY) -m pip install -q --disable-pip-version-check --require-hashes -r requirements.txt
	touch $@

$(VENV)/.dev: requirements-dev.txt
	test -x $(PY) || python3 -m venv $(VENV)
	$(PY) -m pip install -q --disable-pip-version-check --require-hashes -r requirements-dev.txt
	touch $@ $(VENV)/.runtime

build/vendor/.ok: package.json package-lock.json scripts/vendor_assets.py $(VENV)/.runtime
	npm ci --silent
	$(PY) scripts/vendor_assets.py
	touch $@

assets: build/vendor/.ok  ## Fetch the browser libraries named in package-lock.json

run: $(VENV)/.runtime build/vendor/.ok  ## Install, load the demo and serve it on loopback (PORT=8000)
	$(PY) manage.py demo --if-empty
	$(PY) manage.py serve --demo --port $(PORT)

demo: $(VENV)/.runtime  ## Load the invented practice into an empty demo database
	$(PY) manage.py demo --if-empty

demo-reset: $(VENV)/.runtime  ## Throw the demo away and load it again
	$(PY) manage.py demo --reset

test: $(VENV)/.dev build/vendor/.ok  ## Run the tests, but for those marked slow (.ci/run runs them all)
	$(PY) -m pytest -n auto --maxprocesses 2 -q -m "not slow"
	node --test tests/js/*.test.js

check: $(VENV)/.dev build/vendor/.ok  ## Lint, types, one-way imports, migrations, templates, locks
	ruff check .
	ruff format --check .
	mypy
	lint-imports
	$(PY) manage.py makemigrations --check --dry-run
	$(PY) manage.py check --fail-level WARNING
	$(PY) scripts/check_repository.py

fmt: $(VENV)/.dev  ## Format the code
	ruff check --fix -q . || true
	ruff format -q .

bench: $(VENV)/.dev  ## Print speed as ratios within one run
	$(PY) -m bench
	$(PY) -m bench.resolving

evaluate: $(VENV)/.dev  ## Run the coaching rules on simulated clients whose truth is known
	$(PY) -m methods.evaluation $(if $(FULL),--full)

checks: $(VENV)/.dev  ## Print every value of methods/ that is checked against the outside, and the counts
	$(PY) -m tests.methods.checks

soak: $(VENV)/.dev build/vendor/.ok  ## Long runs, in pieces of ten minutes at most
	$(PY) -m pytest -q tests/soak --run-soak -o faulthandler_timeout=3600

screenshots: $(VENV)/.dev build/vendor/.ok  ## Photograph the demo at phone and desktop width, light and dark
	$(PY) scripts/screenshots.py

lock: $(VENV)/.dev  ## Resolve the dependencies again (names no host)
	for n in requirements requirements-dev; do \
	  uv pip compile -q --universal --generate-hashes --python-version 3.11 --no-emit-index-url --no-header $$n.in -o $$n.txt; done
	npm install --package-lock-only --silent
