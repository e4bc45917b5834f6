# Two commands from a clean clone: `make demo` and `make test`. Nothing else is needed first.
PYTHON ?= python3
BIN := .venv/bin
OUT ?= demo-out

.PHONY: demo real test check fast bench docs clean

demo: .venv/.user ## set up, load the Wennick valley, run the evening's choice, write the sheet
	@$(PYTHON) scripts/bring.py printing
	@$(BIN)/shivelight demo --out $(OUT)

real: .venv/.user ## the same commands on a real elevation raster and a recorded real forecast
	@$(BIN)/python examples/real_input.py --out $(OUT)/real

test: .venv/.dev ## set up and pass everything
	@$(PYTHON) scripts/bring.py printing browser
	@$(BIN)/python scripts/check.py

fast: .venv/.dev ## the tests without the browser and the slow ones
	$(BIN)/pytest -q -m "not browser and not slow"

bench: .venv/.dev ## every benchmark, our time beside a peer's in the same run
	$(BIN)/python benchmarks/run.py

docs: .venv/.dev ## write the pages that are made from the code
	$(BIN)/python scripts/write_commands.py

.venv/.user: requirements.lock pyproject.toml scripts/set_up.py
	@$(PYTHON) scripts/set_up.py

.venv/.dev: requirements-dev.lock pyproject.toml scripts/set_up.py
	@$(PYTHON) scripts/set_up.py --dev

clean:
	rm -rf .venv build dist $(OUT) .mypy_cache .ruff_cache .pytest_cache .hypothesis
