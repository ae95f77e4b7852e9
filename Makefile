# Two commands do all: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: setup demo test check bench accept clean help

help:
	@echo "make demo    set up, check the demo museum, build its site, say where to open it"
	@echo "make test    set up, run every test"
	@echo "make check   lint, types, and whether the documentation is fresh"
	@echo "make bench   measure check and build on 100, 500 and 2,000 invented records"
	@echo "make accept  rewrite the golden files; read the difference before you commit it"

setup: $(VENV)/.ready

$(VENV)/.ready: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	@touch $@

demo: setup
	$(BIN)/vouchered check
	$(BIN)/vouchered build
	@echo "Its pieces were signed by invented curators, with the keys in docs/demo-keys: try one."

test: setup
	$(BIN)/python -m pytest -n auto --dist loadfile

check: setup
	$(BIN)/ruff check builder tests
	$(BIN)/ruff format --check builder tests
	$(BIN)/mypy
	$(BIN)/python -m pytest tests/test_docs.py tests/test_layers.py tests/test_surface.py

bench: setup
	$(BIN)/python tests/bench.py

accept: setup
	$(BIN)/python -m pytest tests/test_golden.py --accept

clean:
	rm -rf build site
