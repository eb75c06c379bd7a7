# make demo    plan the example trip and say where its brief is
# make test    install the test tools, then run every test
# make check   format, lint, types, layers, generated docs
# make lock    pin and hash every dependency again
# make pictures   the pictures of README.md, from the two example trips
# make bench   measure everything, write docs/benchmarks.md
# Both demo and test need only python3.11 or newer, venv and make.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
UV := $(BIN)/uv
INSTALL := $(UV) pip install --quiet --python $(VENV)
COMPILE := $(UV) pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header
DEMO_OUT ?= out/tamsin-dome

.DEFAULT_GOAL := help
.PHONY: help demo test check format lock pictures bench clean browser poppler

help:
	@sed -n 's/^# \{0,1\}//p' Makefile | sed '/^$$/q'

$(VENV)/bootstrap.stamp: requirements/bootstrap.txt
	@echo "Setting up a virtual environment in $(VENV) ..."
	@$(PYTHON) -c 'import sys; sys.exit("Handline needs Python 3.11 or newer; this is " + sys.version.split()[0]) if sys.version_info < (3, 11) else None'
	@$(PYTHON) -m venv $(VENV)
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/bootstrap.txt
	@touch $@

$(VENV)/run.stamp: $(VENV)/bootstrap.stamp requirements/run.txt pyproject.toml
	@echo "Installing Handline and what it runs on ..."
	@$(INSTALL) --require-hashes -r requirements/run.txt
	@$(INSTALL) --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/test.stamp: $(VENV)/run.stamp requirements/test.txt
	@echo "Installing the test tools ..."
	@$(INSTALL) --require-hashes -r requirements/test.txt
	@touch $@

demo: $(VENV)/run.stamp
	@echo "Planning the example trip, an invented place ..."
	@$(BIN)/handline plan examples/tamsin-dome/trip.toml --out $(DEMO_OUT) || test $$? -eq 1
	@echo "Open $(DEMO_OUT)/brief.html in a browser: it works offline, on a phone too."

browser:
	@if [ ! -x /usr/bin/chromium ] && [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	  echo "Installing Debian's chromium for the browser tests ..."; \
	  { apt-get update -qq && apt-get install -y -qq chromium; } >/dev/null 2>&1 \
	    || echo "No chromium could be installed: the browser tests will skip and say so."; \
	fi

poppler:
	@if ! command -v pdftotext >/dev/null && [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	  echo "Installing Debian's poppler-utils for the tests of the PDF pages ..."; \
	  { apt-get update -qq && apt-get install -y -qq poppler-utils; } >/dev/null 2>&1 \
	    || echo "No poppler-utils could be installed: the tests of the PDF pages will skip and say so."; \
	fi

test: $(VENV)/test.stamp browser poppler
	@echo "Fetching the real track for the tests ..."
	@$(BIN)/python tests/fetch_real_track.py
	@echo "Running every test ..."
	@$(BIN)/python -m pytest -n auto

check: $(VENV)/test.stamp
	@echo "Format ..." && $(BIN)/ruff format --check --quiet .
	@echo "Lint ..." && $(BIN)/ruff check --quiet .
	@echo "Types ..." && $(BIN)/mypy
	@echo "Layers ..." && $(BIN)/lint-imports --no-cache
	@echo "Generated docs ..." && $(BIN)/python docs/generate.py --check

format: $(VENV)/test.stamp
	@$(BIN)/ruff format . && $(BIN)/ruff check --fix .

lock: $(VENV)/bootstrap.stamp
	@echo "Pinning and hashing ..."
	@$(COMPILE) requirements/bootstrap.in -o requirements/bootstrap.txt
	@$(COMPILE) pyproject.toml --extra dem -o requirements/run.txt
	@$(COMPILE) pyproject.toml --all-extras --group test -c requirements/run.txt -o requirements/test.txt

pictures: $(VENV)/test.stamp browser
	@echo "Making the pictures of README.md from the example trips ..."
	@$(BIN)/python docs/pictures.py

bench: $(VENV)/test.stamp
	@$(BIN)/python -m benchmarks.table

clean:
	rm -rf $(VENV) out .cache
