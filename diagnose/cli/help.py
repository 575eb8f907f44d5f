"""How a command explains itself: examples from the work at the end of its help, one on a line, and what CASE is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import click
from click.formatting import HelpFormatter


class Command(click.Command):
    """A command whose help ends with examples."""

    def __init__(
        self, *arguments: Any, examples: Sequence[str] = (), files: bool = False, **more: Any
    ) -> None:
        super().__init__(*arguments, **more)
        self.examples, self.files = tuple(examples), files

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read what was typed. Raises UsageError, that says where the names are if it is the case that is missing."""
        try:
            return super().parse_args(ctx, args)
        except click.MissingParameter as error:
            if error.param is None or error.param.name != "case":
                raise
            where = "`diagnose cases` lists them; the beginning of a name is enough."
            raise click.UsageError(f"{error.format_message()} {where}", ctx) from None

    def format_epilog(self, ctx: click.Context, formatter: HelpFormatter) -> None:
        """Write the examples, and what is meant by CASE."""
        write_examples(formatter, self.examples)
        if any(isinstance(one, click.Argument) and one.name == "case" for one in self.params):
            formatter.write_paragraph()
            or_file = ", or a case file" if self.files else ""
            formatter.write_text(
                f"CASE is the name of a kept case, or a part of it{or_file}; `diagnose cases` lists what is kept."
            )


def write_examples(formatter: HelpFormatter, examples: Sequence[str]) -> None:
    """Each example on one line, as it is typed; a wrapped one could not be copied."""
    with formatter.section("For example"):
        for example in examples:
            formatter.write(f"{'':>{formatter.current_indent}}{example}\n")


def command(
    *examples: str, name: str | None = None, files: bool = False
) -> Callable[[Callable[..., Any]], Command]:
    """A command of `diagnose`, with examples that work as they stand. `files`: a case file will do for CASE."""
    return click.command(name, cls=Command, examples=examples, files=files)
