# Needs a python3 (3.11 or newer) with its venv module, and make. Nothing here needs root.
PYTHON ?= python3
WORKERS ?= 2
FIGURE ?= all
ROUNDS ?=
CELLS ?= 200
STUDIES ?= 20
SEED ?= 1
BIN := .venv/bin
UV := .tools/bin/uv

# Never fetch a Python build; trust the certificates that the system trusts, also in an emptied environment.
export UV_PYTHON_DOWNLOADS := never
export UV_LINK_MODE := copy
export UV_SYSTEM_CERTS := 1
export PIP_DISABLE_PIP_VERSION_CHECK := 1

# Every process that a target starts reads the sources; what Python made of them is kept, whatever the caller's world says.
export PYTHONDONTWRITEBYTECODE :=
export PYTHONPYCACHEPREFIX := $(CURDIR)/build/bytecode

LOCK := $(UV) pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --no-annotate

# Random cells and shops, whole studies that once broke, and work on a cluster, minutes of a processor in all: run with
# make test ALL=yes whenever a search, a stage of the study or the cluster is touched.
LONG := $(addprefix tests/,$(addprefix solvers/cycle/,test_best_track.py test_long_lines.py test_makespan_rails.py \
	test_rail_rounds.py test_makespan_moments.py test_makespan_cycle.py) \
	$(addprefix stages/,test_turning_loader.py test_turning_overhead.py test_turning_belt.py test_turning_verdicts.py \
	test_road_properties.py test_two_arms.py) \
	found/test_found.py report/test_between_visits.py cli/test_by_hand_kinds_docs.py \
	published/test_job_shops.py \
	$(addprefix agreement/,test_grippers_on_a_track.py test_unlike_loads.py test_manifold.py test_load_changes.py \
	test_changeovers_in_own_buffers.py test_stays_in_own_buffers.py test_unlike_buffers.py \
	test_makespan_exhaustive.py test_attended_buffers.py test_interpreted.py test_wide_gates.py test_endless_slots.py \
	test_order_on_a_track.py test_duties_on_a_track.py) \
	properties/test_study_any.py test_cluster.py)

.PHONY: help setup demo code test test-random test-faces check lint types house locks-guard soak bench serve lock clean

help:  ## list the targets
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

setup: .venv/.ok  ## make .venv from the locks (seconds; nothing to do the second time)

# uv is the quick way and pip the sure one: both read the same locks, so what cannot be had of uv is done by pip.
.tools/.ok: locks/tools.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
		|| { echo 'millhand needs Python 3.11 or newer; name one with: make setup PYTHON=python3.12' >&2; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null \
		|| { echo 'The venv module is missing; install it with: sudo apt-get install python3-venv' >&2; exit 1; }
	@$(PYTHON) -m venv .tools
	@.tools/bin/python -m pip install -q --require-hashes -r locks/tools.txt \
		|| echo 'uv cannot be had here; going on with pip, which takes about a minute.' >&2
	@touch $@

.venv/.ok: .tools/.ok locks/dev.txt locks/build.txt pyproject.toml
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	@if [ -x $(UV) ] && $(UV) pip sync -q --python $(BIN)/python --require-hashes locks/dev.txt \
		&& $(UV) pip install -q --python $(BIN)/python --no-deps --build-constraint locks/build.txt -e .; then :; \
	else \
		$(BIN)/python -m pip install -q --require-hashes -r locks/dev.txt -r locks/build.txt \
		&& $(BIN)/python -m pip install -q --no-deps --no-build-isolation -e .; \
	fi
	@touch $@

demo: setup  ## answer the first example's inquiry and show the answer
	$(BIN)/millhand study examples/1_two_mills/inquiry.yaml --out build/demo --seed 1

code: setup  ## compile the simulation for the tests (a minute; seconds where that was done)
	MILLHAND_CODE=build/code $(BIN)/millhand warm-up --workers $(WORKERS)

test: setup code $(filter house test-random,$(MAKECMDGOALS))  ## the tests without a browser, but for LONG (a quarter of an hour; ALL=yes: those too); beside check, the house rules are not run twice
	$(BIN)/python -m pytest -q -n $(WORKERS) --dist loadgroup --no-loadscope-reorder --ignore=tests/browser $(if $(ALL),,$(LONG:%=--ignore=%)) $(if $(or $(filter test-random,$(MAKECMDGOALS)),$(RANDOM_RAN)),--ignore=tests/properties) $(if $(or $(filter check house,$(MAKECMDGOALS)),$(HOUSE_RAN)),--ignore=tests/house) tests

test-random: setup code $(filter house,$(MAKECMDGOALS))  ## what must hold for any cell and shop, in one process; after house, where that is run too
	$(BIN)/python -m pytest -q $(if $(ALL),,$(LONG:%=--ignore=%)) tests/properties

test-faces: setup  ## pages in the real browser, the workbook in a spreadsheet program (at most 10 minutes)
	@command -v chromium >/dev/null \
		|| { echo 'Chromium is missing; install it with: sudo apt-get install -y chromium' >&2; exit 1; }
	@command -v soffice >/dev/null \
		|| { echo 'The spreadsheet program is missing; install it with: sudo apt-get install -y libreoffice-calc' >&2; exit 1; }
	$(BIN)/python -m pytest -q tests/browser

check: lint types locks-guard house  ## format, lint, strict types, the house rules

lint: setup
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

types: setup
	$(BIN)/mypy --strict src

house: setup
	$(BIN)/python -m pytest -q -n $(WORKERS) tests/house

locks-guard:
	@! grep -nE '[a-z]+://|--(extra-)?index-url|--find-links' locks/*.txt || { echo 'A lock names a host.' >&2; exit 1; }

soak: setup  ## large random runs, by hand: make soak CELLS=1000 STUDIES=50 SEED=2
	@test -f tests/soak.py || { echo 'There is no soak run in this version.' >&2; exit 1; }
	$(BIN)/python tests/soak.py --cells $(CELLS) --studies $(STUDIES) --seed $(SEED)

bench: setup  ## measure a named figure and keep it in benchmarks/results.jsonl: make bench FIGURE=help_start
	$(BIN)/python -m benchmarks.run --figure $(FIGURE) $(if $(ROUNDS),--rounds $(ROUNDS))

serve: setup  ## the local web app
	$(BIN)/millhand serve

lock: .tools/.ok  ## make the locks anew from pyproject.toml
	$(LOCK) pyproject.toml --group dev -o locks/dev.txt
	.tools/bin/python -c 'import tomllib; print(*tomllib.load(open("pyproject.toml", "rb"))["build-system"]["requires"], sep="\n")' \
		| $(LOCK) - -o locks/build.txt
	echo uv | $(LOCK) - -o locks/tools.txt
	@$(MAKE) -s locks-guard

clean:  ## remove what was made, the environment too
	rm -rf .venv .tools build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis
	find src tests benchmarks -name __pycache__ -type d -prune -exec rm -rf {} +
