# make demo    plan the example trip and say where its brief is
# make test    install the test tools, then run every test
# make check   format, lint, types, layers, generated docs
# make lock    pin and hash every dependency again
# make pictures   the pictures of README.md, from the two example trips
# make bench   measure everything, write docs/benchmarks.md
# make fuzz    100,000 odd inputs; Ctrl-C stops it, faults are kept in .cache/fuzz
# make mutate  change every coefficient in its fourth digit: a test must turn red
# make docs    the generated pages of docs/, and what its commands say
# make scale   measure large jobs and write the figures of docs/scale.md
# make wheel   the package as one file, in dist/
# make minimums   the tests that touch other packages, on the oldest versions we say we run on
# make lock-minimums   pin and hash those versions again
# Both demo and test need only python3.11 or newer, venv and make.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
UV := $(BIN)/uv
INSTALL := $(UV) pip install --quiet --python $(VENV)
COMPILE := $(UV) pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header
DEMO_OUT ?= out/tamsin-dome

.DEFAULT_GOAL := help
.PHONY: docs scale wheel minimums lock-minimums
.PHONY: help demo test check format lock pictures bench fuzz mutate clean browser poppler

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

docs: $(VENV)/test.stamp
	@echo "Writing the generated pages, and what the commands on the others say ..."
	@$(BIN)/python docs/generate.py
	@$(BIN)/python docs/told.py

scale: $(VENV)/test.stamp
	@echo "Measuring large jobs: leave the machine alone meanwhile ..."
	@$(BIN)/python docs/scale_figures.py

wheel: $(VENV)/bootstrap.stamp
	@$(BIN)/python -m pip wheel --quiet --disable-pip-version-check --no-deps --no-build-isolation --wheel-dir dist .
	@ls dist/handline-*.whl

 # The oldest versions of what we run on, with the newest test tools that go with them. The tests are those that touch
 # other packages, those of the compiled kernels, and the key numbers of both example plans. Two warnings of old numpy
 # are let pass: pyproj hands it arrays of one place, and dates in a test's arrays, which no season has, lose a note
 # that nobody reads.
MINIMUMS := .cache/minimums
MINIMUMS_PASS := -W "ignore:Conversion of an array:DeprecationWarning" -W "ignore:metadata on a dtype:UserWarning"
MINIMUMS_TESTS := tests/ground tests/trip tests/route tests/sky tests/season \
  tests/web/test_guard.py tests/web/test_edit_pages.py tests/web/test_edit_refused.py tests/web/test_edit_meanwhile.py \
  tests/web/test_edit_sent.py tests/web/test_new_page.py tests/cli/test_commands.py \
  tests/brief/test_typesetting.py tests/brief/test_calendar.py tests/brief/test_html.py tests/brief/test_card.py \
  tests/choose/test_spread_work.py tests/choose/test_dask_crew.py tests/choose/test_pieces_kept.py \
  tests/crowd/test_kernel.py tests/line/test_arrest_kernel.py tests/repeat/test_fingerprint.py

minimums: wheel
	@echo "Setting up the oldest versions in $(MINIMUMS) ..."
	@$(BIN)/python -m venv --clear $(MINIMUMS)
	@$(UV) pip install --quiet --python $(MINIMUMS) --require-hashes -r requirements/minimums-test.txt
	@$(UV) pip install --quiet --python $(MINIMUMS) --no-deps dist/handline-*.whl
	@echo "Testing on them ..."
	@$(MINIMUMS)/bin/python -m pytest -n auto $(MINIMUMS_PASS) $(MINIMUMS_TESTS)

 # uv keeps the versions of a file that is there already: it goes first.
lock-minimums: $(VENV)/bootstrap.stamp
	@echo "Pinning and hashing the oldest versions ..."
	@rm -f requirements/minimums.txt requirements/minimums-test.txt
	@$(COMPILE) --resolution lowest-direct pyproject.toml --all-extras -o requirements/minimums.txt
	@$(COMPILE) pyproject.toml --all-extras --group test -c requirements/minimums.txt -o requirements/minimums-test.txt

mutate: $(VENV)/test.stamp
	@$(BIN)/python -m tests.mutants.coefficients --write

fuzz: $(VENV)/test.stamp
	@HANDLINE_FUZZ=$${HANDLINE_FUZZ:-100000} nice -n 10 $(BIN)/python -m tests.fuzz.nightly

clean:
	rm -rf $(VENV) out .cache
