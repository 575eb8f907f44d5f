"""What the commands share: mistakes told in one sentence, and the options of several."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import textwrap
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

import click

from diagnose.bounds import MOST_TOLD
from diagnose.casebook.held import CannotKeep
from diagnose.commands.status import INTERRUPTED, WRONG
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.plain_text import lines_without_controls

F = TypeVar("F", bound=Callable[..., Any])


def sayable(function: F) -> F:
    """Turn what can go wrong into one clear sentence and an exit status."""

    @wraps(function)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return function(*args, **kwargs)
        except RuleFilesWrong as wrong:
            _complain(str(wrong))
            if len(wrong.problems) > 1:
                more = " There may be more." if len(wrong.problems) >= MOST_TOLD else ""
                _complain(f"{len(wrong.problems)} mistakes.{more}")
        except CannotKeep as error:
            _complain(_wrapped(str(error)))
        except UnicodeDecodeError:
            _complain("What came in is not UTF-8 text. Everything answered before is kept.")
        except BrokenPipeError:
            # The reader of our output has gone; there is nobody to tell.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        except KeyboardInterrupt:
            _complain("\nStopped. Everything answered is kept; `diagnose continue` goes on.")
            raise SystemExit(INTERRUPTED) from None
        except OSError as error:
            _complain(f"{error.filename or 'The machine'}: {(error.strerror or str(error)).lower()}.")
        raise SystemExit(WRONG)

    return run  # type: ignore[return-value]


def _wrapped(sentence: str) -> str:
    """Broken between words at a terminal; in a pipe one line, for whoever looks for words in it."""
    if not sys.stderr.isatty():
        return sentence
    width = shutil.get_terminal_size().columns - 1
    return textwrap.fill(sentence, width, break_long_words=False, break_on_hyphens=False)


def _complain(sentence: str) -> None:
    # When the terminal is closed, the exit status still tells.
    with contextlib.suppress(OSError):
        click.echo(lines_without_controls(sentence), err=True)


to_option = click.option(
    "--to",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write into this .html or .md file instead of printing Markdown.",
)
