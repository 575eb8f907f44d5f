"""The Tab key: the script that a shell reads, and how to give it to the shell."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from .status import DONE

PROGRAM = "diagnose"

SET_UP = {
    "bash": """echo 'eval "$(diagnose completion bash)"' >> ~/.bashrc""",
    "zsh": """echo 'eval "$(diagnose completion zsh)"' >> ~/.zshrc""",
    "fish": "diagnose completion fish > ~/.config/fish/completions/diagnose.fish",
}
"""The line to type once, for each shell."""


def print_script(program: click.Command, shell: str) -> int:
    """Print the script that a shell reads."""
    found = get_completion_class(shell)
    assert found is not None, "the command offers only shells that are known"
    click.echo(found(program, {}, PROGRAM, f"_{PROGRAM.upper()}_COMPLETE").source())
    return DONE


def tell_how() -> int:
    """Say how each shell learns it."""
    click.echo("Type the line of your shell once, and open a new terminal:\n")
    for shell, line in SET_UP.items():
        click.echo(f"  {shell}:\n    {line}\n")
    click.echo("Then Tab finishes commands, options, and the names of cases, fixes, causes and sums.")
    return DONE
