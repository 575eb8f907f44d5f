"""How help looks: commands under headings, and examples from the work at the end, one on a line, never wrapped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import click
from click.formatting import HelpFormatter


class Command(click.Command):
    """A command whose help ends with examples."""

    def __init__(self, *arguments: Any, examples: Sequence[str] = (), **more: Any) -> None:
        super().__init__(*arguments, **more)
        self.examples = tuple(examples)

    def format_epilog(self, ctx: click.Context, formatter: HelpFormatter) -> None:
        """Write the examples, and what is meant by CASE."""
        write_examples(formatter, self.examples)
        if any(isinstance(one, click.Argument) and one.name == "case" for one in self.params):
            formatter.write_paragraph()
            formatter.write_text(
                "CASE is the name of a kept case, or a part of it; `diagnose cases` lists them."
            )


def write_examples(formatter: HelpFormatter, examples: Sequence[str]) -> None:
    """Each example on one line, as it is typed; a wrapped one could not be copied."""
    if examples:
        with formatter.section("For example"):
            for example in examples:
                formatter.write(f"{'':>{formatter.current_indent}}{example}\n")


def command(*examples: str, name: str | None = None) -> Callable[[Callable[..., Any]], Command]:
    """A command of `diagnose`, with examples that work as they stand."""
    return click.command(name, cls=Command, examples=examples)
