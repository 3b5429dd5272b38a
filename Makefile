# Two commands for everyone: make demo, make test. The rest is for people who work on the program.
# Nothing but Python 3.11+, git and make is needed; everything else goes into .venv.

SHELL := /bin/sh
.DELETE_ON_ERROR:
.PHONY: help demo test soak lint bench reference pictures screenshots lock wheel clean

LOCKS := requirements-build.lock pyproject.toml tools/environment.sh
IN := .venv/bin

help:
	@echo "make demo       walk the sample job and say where the packet lies"
	@echo "make test       run every test, from the rod to the pages"
	@echo "make soak       kill the store a thousand times and count; some minutes"
	@echo "make lint       ruff and mypy"
	@echo "make bench      measure against the notebook and against other libraries"
	@echo "make reference  write the reference pages of the docs anew"
	@echo "make pictures   draw the pictures of the docs anew"
	@echo "make screenshots  take a picture of every page into docs/pictures/pages (needs Chromium)"
	@echo "make lock       pin every dependency anew (needs the network)"
	@echo "make wheel      build the wheel and look into it"
	@echo "make clean      take away what was built, .venv too"

.venv/runtime.stamp: requirements.lock $(LOCKS)
	@tools/environment.sh runtime

.venv/dev.stamp: requirements-dev.lock $(LOCKS)
	@tools/environment.sh dev

demo: .venv/runtime.stamp
	@$(IN)/overslab demo

test: .venv/dev.stamp
	@tools/browser_and_server.sh
	@$(IN)/pytest -n 2

# A thousand kills of a process that keeps shots, and the rest of the kill tests at full length.
soak: .venv/dev.stamp
	@tools/browser_and_server.sh
	@$(IN)/python tests/store/soak.py

lint: .venv/dev.stamp
	@$(IN)/ruff check .
	@$(IN)/ruff format --check .
	@$(IN)/mypy

bench: .venv/dev.stamp
	@$(IN)/python bench/run.py

reference: .venv/dev.stamp
	@$(IN)/python docs/make_reference.py

pictures: .venv/dev.stamp
	@$(IN)/python docs/make_pictures.py

screenshots: .venv/dev.stamp
	@$(IN)/python docs/make_screenshots.py

wheel: .venv/dev.stamp
	@$(IN)/python tools/wheel.py

# An index other than the public one is taken from pip's own settings and is not written down.
COMPILE = $(IN)/uv pip compile --quiet --universal --generate-hashes --no-emit-index-url \
	--python-version 3.11 --custom-compile-command "make lock" \
	$(patsubst %,--default-index %,$(shell $(IN)/python -m pip config get global.index-url 2>/dev/null))

lock: .venv/dev.stamp
	@$(COMPILE) pyproject.toml --output-file requirements.lock
	@$(COMPILE) pyproject.toml --extra dev --constraint requirements.lock \
		--output-file requirements-dev.lock
	@$(COMPILE) requirements-build.in --output-file requirements-build.lock
	@$(IN)/pytest -q tests/house/test_supply.py

clean:
	@rm -rf .venv build dist demo .pytest_cache .mypy_cache .ruff_cache .hypothesis
