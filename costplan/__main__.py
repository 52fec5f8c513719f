"""`python -m costplan`."""

from costplan.cli.main import run_and_end

run_and_end()
