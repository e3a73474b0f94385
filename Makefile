# Every routine job in one place; `make help` lists them.

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help

# Seconds for each fuzz target.
FUZZ_SECONDS ?= 20
FUZZ_TARGETS := quantity sentence enquiry import import_undo workbook own_grades question_json compute steel restore

# Scratch files go where cargo builds.
SCRATCH := $(or $(CARGO_TARGET_DIR),target)
VENV := $(SCRATCH)/venv

.PHONY: help run test docs bench fuzz mutants oracle spelling

help: ## this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-10s %s\n", $$1, $$2 }' Makefile

run: ## build page and program, serve the invented demo shop on this machine
	@scripts/prepare build
	cargo run --quiet --release -p lodewright -- serve --demo

test: ## every check: format, lints, Rust, page, documents, a real browser
	@scripts/test

docs: ## write the page's types and what every example in the documents prints anew
	@cargo build --quiet --workspace --bin lodewright
	@scripts/page-types write $(SCRATCH)/debug/lodewright
	@node scripts/documents.mjs --write $(SCRATCH)/debug/lodewright

bench: ## measure the speed of fields, forces and questions
	cargo bench --workspace --bench '*'

fuzz: ## feed odd input to the readers, FUZZ_SECONDS each
	@cargo fuzz --version >/dev/null 2>&1 || cargo install --locked cargo-fuzz
	@for target in $(FUZZ_TARGETS); do \
	    mkdir -p fuzz/corpus/$$target; \
	    echo "== $$target"; \
	    RUSTC_BOOTSTRAP=1 cargo fuzz run $$target fuzz/corpus/$$target fuzz/seeds/$$target -- \
	        -max_total_time=$(FUZZ_SECONDS) -verbosity=0 -print_final_stats=1 -timeout=10; \
	done
	@echo "fuzz: $(words $(FUZZ_TARGETS)) targets, nothing found in $(FUZZ_SECONDS) s each"

mutants: ## change the program in hundreds of small ways and tell which no test notices; takes an hour and more
	@cargo run --quiet --manifest-path mutants/Cargo.toml --target-dir $(SCRATCH)/mutants/tool -- try

oracle: $(VENV)/oracle ## compute the outside values again and compare them with the committed ones
	$(VENV)/bin/python oracle/independent.py > $(SCRATCH)/independent.csv
	diff oracle/independent.csv $(SCRATCH)/independent.csv
	@echo "oracle: $$(grep -vc '^#' oracle/independent.csv) lines, all as committed"
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(VENV)/bin/python oracle/steel.py > $(SCRATCH)/steel.jsonl
	$(VENV)/bin/python oracle/compare.py oracle/steel.jsonl $(SCRATCH)/steel.jsonl
	@echo "oracle: $$(wc -l < oracle/steel.jsonl) solves with steel, all as committed"

spelling: $(VENV)/spelling ## look for misspelt words
	$(VENV)/bin/typos

$(VENV)/oracle: oracle/requirements.txt
	python3 -m venv $(VENV)
	$(VENV)/bin/pip install --quiet --disable-pip-version-check -r oracle/requirements.txt
	@touch $@

$(VENV)/spelling:
	python3 -m venv $(VENV)
	$(VENV)/bin/pip install --quiet --disable-pip-version-check typos
	@touch $@
