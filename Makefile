# One word each: demo, test, check, bench, long, fuzz. Each installs what it needs into .venv first.

PYTHON ?= python3
VENV := .venv
BIN := $(if $(filter Windows_NT,$(OS)),Scripts,bin)
RUN := $(VENV)/$(BIN)
PIP := $(RUN)/python -m pip --disable-pip-version-check
PINS := pyproject.toml constraints.txt
BARE := $(VENV)/bare
BARE_PIP := $(BARE)/$(BIN)/python -m pip --disable-pip-version-check

MINUTES ?= 10
# Tests that go through the same lines very often: counting which lines they reach takes as long as they do.
# Which lines of the kernels are reached, only their uncompiled run can tell.
LONG := tests/fuzz tests/kernels tests/motion tests/properties tests/published tests/trials \
  tests/workflows/test_commission.py

.PHONY: demo test check bench long fuzz wheel clean
.DELETE_ON_ERROR:

demo: $(VENV)/run.stamp
	$(RUN)/cutworthy demo

test: $(VENV)/dev.stamp
	NUMBA_DISABLE_JIT=1 $(RUN)/python -m pytest -n 2 --cov --cov-report= --cov-fail-under=0 tests/kernels tests/properties/test_fast.py
	$(RUN)/python -m pytest -n 2 --cov --cov-append $(addprefix --ignore=,$(LONG))
	$(RUN)/python -m pytest -n 2 $(LONG)
	$(MAKE) wheel

check: $(VENV)/dev.stamp
	$(RUN)/ruff format --check .
	$(RUN)/ruff check .
	$(RUN)/mypy
	$(RUN)/lint-imports --no-logo
	$(RUN)/python tools/findings_page.py --check
	$(RUN)/python tools/language_page.py --check
	$(RUN)/python tools/check_docs.py
	$(RUN)/python tools/check_docstrings.py

# The same shares of intervals as in the tests, of ten times as many sittings.
long: $(VENV)/dev.stamp
	CUTWORTHY_RUNS=10000 $(RUN)/python -m pytest -n 2 tests/metrology/test_coverage.py

bench: $(VENV)/bench.stamp
	$(RUN)/python -m benchmarks

# Throws programs at the reader (Linux on x86_64): for so many MINUTES, or RUNS when they are given.
fuzz: $(VENV)/dev.stamp
	$(RUN)/python tests/fuzz/fuzz_reader.py $(VENV)/fuzz $(if $(RUNS),-runs=$(RUNS),-max_total_time=$$(( 60 * $(MINUTES) )))

# The wheel, where nothing else is installed: it must import and prove the demo there.
wheel: $(VENV)/pip.stamp $(BARE)/made.stamp
	rm -rf dist
	$(PIP) wheel --quiet --no-deps --no-build-isolation --wheel-dir dist .
	$(BARE_PIP) uninstall --quiet --yes cutworthy
	$(BARE_PIP) install --quiet -c constraints.txt dist/*.whl
	cd $(BARE) && $(BIN)/python -I -c "import cutworthy; print('wheel', cutworthy.__version__, 'imports')"
	cd $(BARE) && $(BIN)/cutworthy demo

clean:
	rm -rf $(VENV) dist

# The build backend is pinned by installing it here: inside pip's own build environment no
# constraint holds with every release of pip.
$(VENV)/pip.stamp: constraints.txt
	@$(PYTHON) -c "import sys" || \
	  { echo "There is no $(PYTHON) here. Install Python 3.11 or newer, or name it: make PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -c "import sys; sys.exit(sys.version_info < (3, 11))" || \
	  { echo "cutworthy needs Python 3.11 or newer; $(PYTHON) is `$(PYTHON) -V`. Name another: make PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -c "import ensurepip, venv" 2>/dev/null || \
	  { echo "$(PYTHON) cannot make environments: its venv module is missing (on Debian: apt-get install python3-venv)"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(PIP) install --quiet -c constraints.txt hatchling editables
	touch $@

$(VENV)/run.stamp: $(VENV)/pip.stamp $(PINS)
	$(PIP) install --quiet --no-build-isolation -c constraints.txt -e .
	touch $@

$(VENV)/dev.stamp: $(VENV)/pip.stamp $(PINS)
	$(PIP) install --quiet --no-build-isolation -c constraints.txt -e ".[test,check]"
	touch $@ $(VENV)/run.stamp

$(VENV)/bench.stamp: $(VENV)/dev.stamp
	$(PIP) install --quiet --no-build-isolation -c constraints.txt -e ".[test,check,bench]"
	touch $@

$(BARE)/made.stamp: $(VENV)/pip.stamp $(PINS)
	$(PYTHON) -m venv --clear $(BARE)
	touch $@
