# run, test, bench and proof: each does everything it needs on a machine with Python 3.11, pip and make.
PYTHON ?= python3
UV := 0.13.9
BIN := .venv/bin
INSTALL := $(BIN)/uv pip install --quiet --python $(BIN)/python --no-deps --build-constraints requirements-test.lock

export OMP_NUM_THREADS ?= 1
export OPENBLAS_NUM_THREADS ?= 1

.PHONY: run test test-postgres bench proof proof-wait lock docs

run: .venv/run.stamp
	$(BIN)/countermove demo

test: .venv/test.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/pytest -n 2

# The clinic's tests on a PostgreSQL of their own, in a temporary folder; `test` lives a part of it.
test-postgres: .venv/test.stamp
	$(BIN)/python -m tests.builders.postgres tests/clinic

bench: .venv/test.stamp
	$(BIN)/python -m benchmarks.run

# In the background; the result lands in docs/proof/, the progress in .venv/proof.log.
proof: .venv/test.stamp
	nohup $(BIN)/python -m proof.run > .venv/proof.log 2>&1 &
	@echo "Running in the background; follow .venv/proof.log, results go to docs/proof/."

proof-wait: .venv/test.stamp
	$(BIN)/python -m proof.run

# Pages that are generated; a test holds each to its source.
docs: .venv/test.stamp
	$(BIN)/python -m tests.builders.pages

lock: .venv/uv.stamp
	$(BIN)/uv pip compile --quiet --universal --generate-hashes --no-header pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile --quiet --universal --generate-hashes --no-header --group test pyproject.toml -o requirements-test.lock

.venv/uv.stamp:
	$(PYTHON) -c "import sys; sys.exit('Python 3.11 or later is needed, this is ' + sys.version.split()[0] if sys.version_info < (3, 11) else 0)"
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check uv==$(UV)
	touch $@

.venv/run.stamp: .venv/uv.stamp requirements.lock pyproject.toml
	rm -f .venv/test.stamp  # the sync below takes out what tests need
	$(BIN)/uv pip sync --quiet --python $(BIN)/python --require-hashes requirements.lock
	$(INSTALL) --editable .
	touch $@

# Pages are tested in Debian's Chromium; where apt and the right to use it are missing, install it by hand.
.venv/browser.stamp: .venv/uv.stamp
	command -v chromium > /dev/null || (apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium > /dev/null)
	touch $@

# A site may run on PostgreSQL; tests start a private one. Nothing else needs it.
.venv/postgres.stamp: .venv/uv.stamp
	command -v initdb > /dev/null || ls /usr/lib/postgresql/*/bin/initdb > /dev/null 2>&1 || (apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq postgresql > /dev/null)
	touch $@

.venv/test.stamp: .venv/postgres.stamp .venv/browser.stamp .venv/uv.stamp requirements-test.lock pyproject.toml
	$(BIN)/uv pip sync --quiet --python $(BIN)/python --require-hashes requirements-test.lock
	$(INSTALL) --editable .
	touch .venv/run.stamp $@
