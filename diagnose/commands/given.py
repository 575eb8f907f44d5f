"""What is typed at the prompt, or named by a file there: taken, and repeated in complaints, without control signs."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import Any

import click

from diagnose.bounds import LONGEST_NOTE
from diagnose.plain_text import lines_without_controls, without_controls


class Commands(click.Group):
    """Commands whose complaints repeat what was typed, or what a file is called, without its control signs."""

    def make_context(self, *args: Any, **kwargs: Any) -> click.Context:
        """What was typed, read."""
        with _plainly():
            return super().make_context(*args, **kwargs)

    def invoke(self, ctx: click.Context) -> Any:
        """The command that was meant, done."""
        with _plainly():
            return super().invoke(ctx)


@contextlib.contextmanager
def _plainly() -> Iterator[None]:
    try:
        yield
    except click.UsageError as error:
        said = error.format_message()
        plain = lines_without_controls(said)
        if plain == said:
            raise
        raise click.UsageError(plain, error.ctx) from None


class _Words(click.ParamType):  # type: ignore[type-arg]  # older releases take no type here
    """Words that a case keeps: without control signs, and not longer than a remark may be."""

    name = "text"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The words as they are kept."""
        words = without_controls(str(value)).strip()
        if len(words) > LONGEST_NOTE:
            self.fail(
                f"it has {len(words):,} letters; {LONGEST_NOTE:,} are the most. Shorten it.", param, ctx
            )
        return words


WORDS = _Words()
