"""A person at a real terminal: reads the question, types the answer that belongs to it."""

from __future__ import annotations

import codecs
import contextlib
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from fcntl import ioctl
from pathlib import Path

from diagnose.cli.main import main
from ready_start import Start, Started, usual

COMMAND = ("-m", "diagnose")
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]|\x1b[=>]|\r")


def about_haze(arguments: Sequence[str]) -> list[str]:
    """The words of a command; a new consultation is about haze, unless it says what it is about."""
    begins = not any(word in main.commands for word in arguments) and not {"--help", "--version", "-h"} & {
        *arguments
    }
    return [*(["--about", "haze"] if begins and "--about" not in arguments else []), *arguments]


class Terminal:
    """The command in a pseudo-terminal of a given width; without a `subject` it is asked for first.

    `program` is what Python runs instead of the command itself.
    """

    def __init__(
        self,
        environment: Mapping[str, str],
        *arguments: str,
        columns: int = 80,
        subject: str | None = "haze",
        program: Sequence[str] = COMMAND,
    ) -> None:
        self.main, child = pty.openpty()
        ioctl(child, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
        plain = {key: value for key, value in environment.items() if key != "COLUMNS"}
        words = about_haze(arguments) if subject else arguments
        self.process: Started | subprocess.Popen[bytes]
        if program == COMMAND and usual(plain):
            window = os.ttyname(child)
            self.process = Started(Start(tuple(words), plain, str(Path.cwd()), (window, window, window)))
        else:
            self.process = subprocess.Popen(
                [sys.executable, *program, *words],
                stdin=child,
                stdout=child,
                stderr=child,
                env=plain,
                start_new_session=True,
                preexec_fn=lambda: ioctl(0, termios.TIOCSCTTY, 0),
            )
        os.close(child)
        self.raw = ""
        # A piece that was read may end in the middle of a letter.
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")

    def read_until(self, prompt: str = "> ", seconds: float = 60) -> str:
        """Read until the prompt stands at the end of the screen; returns what came since the last call."""
        start, end = len(self.raw), time.monotonic() + seconds
        while time.monotonic() < end:
            ready, _, _ = select.select([self.main], [], [], 0.2)
            if ready:
                try:
                    piece = os.read(self.main, 65536)
                except OSError:
                    break
                if not piece:
                    break
                self.raw += self._decoder.decode(piece)
            if ESCAPES.sub("", self.raw[start:]).endswith(prompt):
                break
        return ESCAPES.sub("", self.raw[start:])

    def read_rest(self, seconds: float = 30) -> str:
        """Everything until the command ends."""
        return self.read_until("\x00", seconds)

    def type(self, line: str) -> None:
        """Type a line and press Enter."""
        os.write(self.main, f"{line}\n".encode())

    def press(self, key: bytes) -> None:
        """Press one key, such as Ctrl-C."""
        os.write(self.main, key)

    def interrupt(self) -> str:
        """Press Ctrl-C, and again if nothing happens, as a person would. Returns what came until the end.

        Between showing its prompt and listening to the keyboard, Python's input() does not notice the key until
        the next one; a program that types within microseconds falls into that gap.
        """
        screen = ""
        for _ in range(5):
            if self.process.poll() is not None:
                break
            self.press(b"\x03")
            screen += self.read_rest(seconds=3)
        return screen

    def close(self) -> None:
        """Close the terminal window."""
        os.close(self.main)

    def wait(self, seconds: float = 30) -> int:
        """The exit status."""
        return self.process.wait(seconds)

    def end(self) -> None:
        """Leave nothing running."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        with contextlib.suppress(OSError):
            os.close(self.main)


Open = Callable[..., Terminal]
"""Opens the command in a terminal."""


@contextlib.contextmanager
def terminals(environment: Mapping[str, str], subject: str | None = "haze") -> Iterator[Open]:
    """Opens the command in as many terminals as are asked for, and leaves none running."""
    opened: list[Terminal] = []

    def open_terminal(*arguments: str, columns: int = 80) -> Terminal:
        opened.append(Terminal(environment, *arguments, columns=columns, subject=subject))
        return opened[-1]

    try:
        yield open_terminal
    finally:
        for one in opened:
            one.end()


def answer_all(terminal: Terminal, answers: Mapping[str, str], most: int = 60) -> str:
    """Answer each question by the words it holds, `skip` where none fit, until the result is shown.

    Returns the whole screen.
    """
    seen = ""
    for _ in range(most):
        screen = terminal.read_until("> ")
        seen += screen
        if screen.endswith("next> "):
            return seen
        reply = next(
            (answer for words, answer in answers.items() if words in " ".join(screen.split())), "skip"
        )
        terminal.type(reply)
    raise AssertionError(f"no result after {most} questions:\n{seen[-2000:]}")
