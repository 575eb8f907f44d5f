"""The command in a process of its own whose modules are read already.

A fresh Python spends half a second on modules before the command does anything, and the tests start it a thousand
times. So a server reads the modules once and forks for every start: a process with its own streams, environment,
folder and exit status, in which nothing of the command has run yet. What belongs to the start of Python itself, such
as another encoding or order of sets, is tried with a fresh one.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import pkgutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, cast

import diagnose.commands

_MODULES = [
    "diagnose.cli.main",
    *(m.name for m in pkgutil.walk_packages(diagnose.commands.__path__, "diagnose.commands.")),
]
_FORKS = "forkserver" in multiprocessing.get_all_start_methods()
Run = Callable[..., "subprocess.CompletedProcess[str]"]
"""What the fixture `run` gives: the command with these words, and lines from a pipe."""

_OF_PYTHON = ("PYTHON", "LC_", "LANG")


@dataclass(frozen=True)
class Start:
    """What a process begins with: its words, environment and folder, and the files of its three streams."""

    arguments: tuple[str, ...]
    environment: Mapping[str, str]
    folder: str
    streams: tuple[str, str, str]
    """Paths of what is read, what is written, and what is complained into; thrice the same for a terminal."""


class Started:
    """A process that was begun, with what `subprocess.Popen` offers of it."""

    def __init__(self, start: Start) -> None:
        here, there = _context().Pipe(duplex=False)
        self._process = _context().Process(target=_run, args=(start, there))
        self._process.start()
        there.close()
        with contextlib.suppress(EOFError):
            here.recv()  # its streams are open
        here.close()

    @property
    def pid(self) -> int:
        """Its number."""
        assert self._process.pid is not None
        return self._process.pid

    def poll(self) -> int | None:
        """The exit status, once it has ended."""
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        """The exit status. Raises subprocess.TimeoutExpired."""
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise subprocess.TimeoutExpired("diagnose", timeout or 0)
        return self._process.exitcode

    def kill(self) -> None:
        """End it at once."""
        self.send_signal(signal.SIGKILL)

    def send_signal(self, number: signal.Signals) -> None:
        """A signal, unless it has ended."""
        if self.poll() is None:
            # The server takes an ended process away before we hear of it.
            with contextlib.suppress(ProcessLookupError):
                os.kill(self.pid, number)


def usual(environment: Mapping[str, str]) -> bool:
    """Whether a process forked from the server is what a fresh one would be in this environment."""
    changes = {name for name in {*environment, *os.environ} if name.startswith(_OF_PYTHON)}
    return _FORKS and all(
        environment.get(name) in (None, os.environ.get(name), "C.UTF-8") or name == "PYTHONDONTWRITEBYTECODE"
        for name in changes
    )


def run_command(
    arguments: Sequence[str],
    environment: Mapping[str, str],
    read: bytes = b"",
    cwd: Path | None = None,
    timeout: float = 120,
    **more: Any,
) -> subprocess.CompletedProcess[bytes]:
    """`diagnose` with these bytes to read, and no terminal. Raises subprocess.TimeoutExpired.

    What else `subprocess.run` can be told is told to a fresh Python.
    """
    at = cwd or Path.cwd()
    if more or not usual(environment):
        words = [sys.executable, "-m", "diagnose", *arguments]
        return subprocess.run(
            words, input=read, capture_output=True, timeout=timeout, env=environment, cwd=at, **more
        )
    with tempfile.TemporaryDirectory() as place:
        streams = [Path(place) / name for name in ("read", "said", "complained")]
        for stream, holds in zip(streams, (read, b"", b""), strict=True):
            stream.write_bytes(holds)
        paths = cast(tuple[str, str, str], tuple(map(str, streams)))
        started = Started(Start(tuple(arguments), dict(environment), str(at), paths))
        try:
            status = started.wait(timeout)
        finally:
            started.kill()
        said, complained = (stream.read_bytes() for stream in streams[1:])
    return subprocess.CompletedProcess(["diagnose", *arguments], status, said, complained)


_ready: list[Any] = []


def _context() -> Any:
    """The server, started at its first use in this process."""
    if not _ready:
        _ready.append(multiprocessing.get_context("forkserver"))
        _ready[0].set_forkserver_preload(_MODULES)
    return _ready[0]


def _run(start: Start, there: Connection) -> None:
    """In the new process: take its streams, environment and folder, and run the command."""
    os.setsid()  # the first terminal that is opened now is its own
    # Tests that were started in the background began with the key ignored; a person at a terminal did not.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for number, path in enumerate(start.streams):
        opened = os.open(path, os.O_RDWR)
        os.dup2(opened, number)
        os.close(opened)
    there.send(None)
    there.close()
    os.environ.clear()
    os.environ.update(start.environment)
    os.chdir(start.folder)
    sys.stdin = sys.__stdin__ = open(0, encoding="utf-8", errors="surrogateescape", closefd=False)  # noqa: SIM115
    sys.stdout = sys.__stdout__ = open(1, "w", encoding="utf-8", errors="surrogateescape", closefd=False)  # noqa: SIM115
    sys.stderr = sys.__stderr__ = open(2, "w", 1, encoding="utf-8", errors="backslashreplace", closefd=False)  # noqa: SIM115
    sys.argv = ["diagnose", *start.arguments]
    from diagnose.cli.main import main

    main(prog_name="diagnose")
