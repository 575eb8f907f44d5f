"""`python -m diagnose` is the same as the command `diagnose`."""

from diagnose.cli import main

main(prog_name="diagnose")
