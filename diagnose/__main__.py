"""`python -m diagnose` is the same as the command `diagnose`."""

from diagnose.cli.main import main

main(prog_name="diagnose")
