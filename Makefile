# make demo    see it work: a worked case on the command line, then the site
# make test    everything that can fail, as CI runs it; of large families a sample, to fit ten minutes on two cores
# make prove   the same with every case of every family
# make serve   the site on this machine        make packs   rules -> compiled packs
# make lint    style, types, walls, rules      make site    the site with the browser's checker in it
# make newly-passing   who passes now and did not before, without a source
# make mutants  slips in the code that reaches a verdict: which no test notices
# make coverage   which branches of the core no test takes
# make bench   how fast, how big               make lock    pin requirements/dev.in again
# make release wheel, source, site: into dist/, built twice and compared, with their sums
# make clean   remove what was built           make distclean   and what was installed
#
# Every target works from a clean clone; what is up to date is not made again.

SHELL := bash
.DELETE_ON_ERROR:
MAKEFLAGS += --no-builtin-rules

VENV := .venv
BIN := $(VENV)/bin
PY := $(BIN)/python
DEMO ?= scenarios/bakery-proving-heater.toml
# Two at a time. A file stays on one worker, which keeps what it has worked out; browser tests go wherever there is room.
PYTEST_ARGS ?= -n 2 --dist loadgroup
# Steps that do not wait for each other, two at a time; each one's lines stay together where this make can see to it.
ABREAST := -j2 $(if $(filter output-sync,$(.FEATURES)),--output-sync=target)
# When this run began: a make within make keeps it.
ifndef BEGAN
export BEGAN := $(shell date +%s)
endif

# Archives and pages carry the date of the last commit, so that a commit always builds to the same bytes.
# Outside a git checkout it is the date of today.
export SOURCE_DATE_EPOCH ?= $(shell git log -1 --format=%ct 2>/dev/null || date +%s)
# Tools neither ask whether a newer one is out nor tell of it: versions change by make lock.
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_NO_INPUT := 1
export NO_MKDOCS_2_WARNING := 1
# Hundreds of tests start the command anew: without bytecode each would compile it again.
unexport PYTHONDONTWRITEBYTECODE

files = $(shell find $(1) -type f -not -path '*/__pycache__/*' 2>/dev/null)
# Folders too: a rule file that is gone must be noticed.
RULES := $(shell find rules)
CODE := $(filter-out checker/packs/%.json checker/web/%,$(call files,checker))
WEB := $(filter-out checker/web/generated/%,$(call files,checker/web))
DOCS := $(filter-out docs/reference/%,$(call files,docs)) $(wildcard mkdocs.yml) $(wildcard scenarios/*.toml scenarios/*/*.toml)

# A stamp says when a step was last done. It lies inside what the step makes, so that it goes when that goes.
INSTALLED := $(VENV)/.installed
MODULES := node_modules/.installed
PACKS := build/packs.stamp
BROWSER := build/browser/pyodide/pyodide-lock.json
SITE := build/site.stamp

.PHONY: setup packs browser site demo test prove newly-passing mutants coverage lint bench serve release lock clean distclean
setup: $(INSTALLED) $(MODULES)
packs: $(PACKS)
browser: $(BROWSER)
site: $(SITE)

$(INSTALLED): requirements/dev.txt pyproject.toml .python-version tools/find-python
	python=$$(tools/find-python) && "$$python" -m venv --clear $(VENV)
	$(PY) -m pip install -qq --only-binary :all: --require-hashes --requirement requirements/dev.txt
	$(PY) -m pip install -qq --no-deps --no-build-isolation --editable .
	touch $@

$(MODULES): package.json package-lock.json .npmrc
	tools/system-packages node npm
	npm ci --ignore-scripts --loglevel=error
	touch $@

$(PACKS): $(INSTALLED) $(RULES) $(CODE)
	$(PY) -m checker.dev compile
	mkdir -p $(@D) && touch $@

$(BROWSER): $(INSTALLED) $(MODULES) $(PACKS) LICENSE
	$(PY) -m checker.dev browser-files
	touch $@

$(SITE): $(BROWSER) $(WEB) $(DOCS)
	$(PY) -m checker.dev pages
	$(PY) -m checker.dev check-page
	$(BIN)/mkdocs build --strict
	cp -R build/browser/. site/
	$(PY) -m checker.dev plain-pages
	$(PY) -m checker.dev finish
	touch $@

# The command's exit code: 0 fits, 1 change, call or stop, 2 find out; each is an answer. Anything above is a fault.
demo: packs
	$(BIN)/spareway check $(DEMO) || [ $$? -le 2 ]
	@$(MAKE) --no-print-directory site
	$(PY) tools/serve.py site

# Whoever waits for a page that never comes waits two minutes: after thirty failures there is nothing more to learn.
test:
	+@$(MAKE) --no-print-directory $(ABREAST) lint newly-passing site
	tools/system-packages chromium firefox-esr WebKitWebDriver Xvfb
	@code=0; $(BIN)/pytest $(PYTEST_ARGS) --durations=20 $(if $(DEEP),,--maxfail=30) || code=$$?; took=$$(($$(date +%s) - BEGAN)); \
	echo "make $(if $(DEEP),prove,test): $$((took / 60)) min $$((took % 60)) s from the first step to here"; exit $$code

# Every mutant, every example, every proof, every request in every runtime (tests/sampling.py).
prove: export DEEP := 1
prove: test

# Stops when a rule that failed now passes and no named source stands behind it: since the last release, or before the
# first one since the commit before the last change of rules/.
newly-passing: $(INSTALLED)
	$(PY) -m checker.dev newly-passing

# Not part of make test: under measurement these tests take several times as long. It stops below `fail_under`.
COVERED := $(addprefix tests/,core packs plan published rules scenarios sheet trade)
# Every case of every family, or a branch would be missed by chance.
coverage: export DEEP := 1
coverage: packs
	$(BIN)/pytest $(PYTEST_ARGS) -m "not slow" --cov=checker/core --cov-branch --cov-report=term-missing:skip-covered $(COVERED)

# Not part of make test: a quarter of an hour of computing. What survives is listed; `mutmut show NAME` prints its slip.
# Begun anew each time: the tool's memory of an earlier run knows nothing of changed rules.
mutants: packs
	rm -rf mutants
	DEEP=1 $(BIN)/mutmut run --max-children 2
	$(BIN)/mutmut results

lint: packs
	$(BIN)/ruff check
	$(BIN)/ruff format --check --quiet
	$(BIN)/lint-imports
	$(BIN)/mypy --no-error-summary
	$(PY) -m checker.dev lint

bench: site
	$(PY) benchmarks/speed.py
	$(PY) benchmarks/questions.py
	$(PY) benchmarks/reading.py
	$(PY) benchmarks/engines.py
	$(PY) benchmarks/first_load.py
	$(PY) benchmarks/phone.py

serve: site
	$(PY) tools/serve.py site

release: setup
	$(PY) tools/release.py

lock:
	tools/lock

clean:
	rm -rf build dist site mutants docs/reference checker/web/generated checker/packs/*.json
	rm -rf .pytest_cache .ruff_cache .import_linter_cache .mypy_cache .hypothesis .coverage

distclean: clean
	rm -rf $(VENV) node_modules
