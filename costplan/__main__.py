"""`python -m costplan`."""

from costplan.cli.main import run

run()
