"""Run by a test inside a terminal: the main screens one after another, at one width after another, in one process.

It is given JSON: for each screen its name, the width, variables of the environment, and the words of a command. Before
each screen its name is printed behind a sign that no screen holds.
"""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import struct
import sys
import termios
from collections.abc import Callable

from diagnose.cli.main import main
from diagnose.commands import setup
from diagnose.judgement.judge import Cellar

BETWEEN = "\x1e"


def set_width(columns: int) -> None:
    """Make the terminal this wide, as a person does who pulls at its corner; a pipe has no width."""
    if sys.stdout.isatty():
        fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))


def once(make: Callable[..., Cellar]) -> Callable[..., Cellar]:
    """A maker of cellars that makes each only once."""
    made: dict[str, Cellar] = {}

    def made_once(*of: object, **how: object) -> Cellar:
        words = repr((of, how))
        if words not in made:
            made[words] = make(*of, **how)
        return made[words]

    return made_once


if __name__ == "__main__":
    # The rules are the same for every screen; to make them ready once is all that this run saves.
    setup.make_cellar = once(setup.make_cellar)
    for name, columns, environment, words in json.loads(sys.argv[1]):
        set_width(columns)
        os.environ.update(environment)
        print(f"{BETWEEN}{name}", flush=True)
        with contextlib.suppress(SystemExit):
            main(words, prog_name="diagnose")
    print(f"{BETWEEN}the end", flush=True)
