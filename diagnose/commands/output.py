"""What is printed as it is, for a program or a pipe. Screens go through `present.console` instead."""

from __future__ import annotations

import json

import click

from diagnose.plain_text import lines_without_controls


def put(text: str, err: bool = False) -> None:
    """Text of one or several lines, without control signs."""
    click.echo(lines_without_controls(text), nl=not text.endswith("\n"), err=err)


def put_json(text: str) -> None:
    """JSON, in which a sign that a terminal might obey is written as its number; its reader sees the same value."""
    if not text.replace("\n", "").isprintable():
        text = "".join(
            sign if sign.isprintable() or sign == "\n" else json.dumps(sign)[1:-1] for sign in text
        )
    click.echo(text)
