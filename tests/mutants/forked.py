"""Tests run against one changed place, each change in a process of its own that starts with everything read in.

There are two ways. A change in the body of a function takes the place of that function in a process where all tests
are ready to run (`InPlace`). Any other happens when its file is read in, so there the program and the tests are read
anew, with the changed file in place of the one on the disk (`read_anew`).
"""

from __future__ import annotations

import ast
import gc
import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import signal
import sys
import time
import types
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import _lru_cache_wrapper, cache
from pathlib import Path
from typing import Any

import coverage
import pytest
from changes import ROOMS, ROOT, Mutant, mutated

QUIET = [
    "-q",
    "-o",
    "addopts=",
    "-p",
    "no:cacheprovider",
    "-p",
    "no:xdist",
    "-W",
    "ignore::pytest.PytestAssertRewriteWarning",
]
KILLED, ELSEWHERE = 1, 9
MEMORY = 6 << 30


class Reports:
    """Hears whether a test failed."""

    failed = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed = self.failed or report.failed


class Reach:
    """Which tests run which lines, and how many seconds each takes."""

    def __init__(self, kept: dict[str, Any]) -> None:
        self.seconds: dict[str, float] = kept["seconds"]
        self._lines: dict[str, dict[str, list[str]]] = kept["lines"]

    def of(self, mutant: Mutant, most_seconds: float) -> list[str]:
        """The tests for a change, the likeliest to notice it and the quickest first, up to so many seconds.

        A line inside a long sum is counted with the nearest line before it that is known to run. What happens when a
        file is read in is felt by all that runs a line of it, or of a file that takes something from it; those that
        run a line of the file itself come first.
        """
        lines = self._lines.get(mutant.file, {})
        if mutant.inside:
            known = [int(line) for line in lines if int(line) <= mutant.line]
            found = set(lines[str(max(known))]) if known else set()
        else:
            felt = takers(mutant.file)
            found = {test for file in felt for tests in self._lines.get(file, {}).values() for test in tests}
        chosen, spent = [], 0.0
        own = {test for tests in lines.values() for test in tests}
        for test in sorted(
            found, key=lambda test: (test not in own, self._far(mutant, test), self.seconds[test], test)
        ):
            spent += self.seconds[test]
            if chosen and spent > most_seconds:
                break
            chosen.append(test)
        return chosen

    @staticmethod
    def _far(mutant: Mutant, test: str) -> int:
        room, file = test.split("/")[1:3]
        return 0 if room == mutant.room or file.startswith("test_published_figures") else 1


@cache
def takers(file: str) -> tuple[str, ...]:
    """The file, and those of the rooms that take something from it, straight or through others."""
    found = [file]
    for one in found:
        found += [taker for taker, taken in _taken().items() if one in taken and taker not in found]
    return tuple(found)


@cache
def _taken() -> dict[str, set[str]]:
    """For each file of the rooms, what it imports from."""
    taken: dict[str, set[str]] = {}
    for path in sorted(path for room in ROOMS for path in (ROOT / "diagnose" / room).rglob("*.py")):
        names = set()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom):
                folder = path.parents[node.level - 1] if node.level else ROOT
                start = folder.joinpath(*(node.module or "").split("."))
                names |= {start, *(start / alias.name for alias in node.names)}
        files = {
            file
            for name in names
            for file in (name.with_suffix(".py"), name / "__init__.py")
            if file.exists()
        }
        taken[path.relative_to(ROOT).as_posix()] = {file.relative_to(ROOT).as_posix() for file in files}
    return taken


class InPlace(Reports):
    """Takes over once all tests are collected: measures what they reach, or tries changes."""

    def __init__(self, task: Callable[[InPlace, pytest.Session], None]) -> None:
        self.task = task

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            raise RuntimeError("a test module could not be read")
        self.task(self, session)
        return True

    def run(self, items: Sequence[pytest.Item], back_to: pytest.Item | None = None) -> Iterator[pytest.Item]:
        """Run tests one after the other; what a session shares stays."""
        items[0].session._setupstate.teardown_exact(items[0])
        for item, after in zip(items, [*items[1:], back_to or items[0]], strict=True):
            item.ihook.pytest_runtest_protocol(item=item, nextitem=after)
            yield item

    def reach(self, session: pytest.Session) -> dict[str, Any]:
        """Run every test once, and see which lines it runs and how long it takes. Tests that fail are left out."""
        watch = coverage.Coverage(
            data_file=None, include=[f"{ROOT}/diagnose/{room}/*" for room in ROOMS], config_file=False
        )
        seconds, last = {}, time.perf_counter()
        watch.start()
        watch.switch_context(session.items[0].nodeid)
        for item, after in zip(self.run(session.items), [*session.items[1:], session.items[0]], strict=True):
            now = time.perf_counter()
            if not self.failed:
                seconds[item.nodeid] = now - last
            self.failed, last = False, now
            watch.switch_context(after.nodeid)
        watch.stop()
        lines = {}
        for file in watch.get_data().measured_files():
            reached = watch.get_data().contexts_by_lineno(file).items()
            lines[Path(file).relative_to(ROOT).as_posix()] = {
                str(line): [test for test in tests if test in seconds] for line, tests in reached
            }
        return {"seconds": seconds, "lines": lines}

    def warm(self, session: pytest.Session) -> None:
        """Let one test of each folder make what all of the session share."""
        first = {item.path.parent: item for item in reversed(session.items)}
        for _ in self.run([*first.values()]):
            pass
        self.failed = False

    def notices(self, mutant: Mutant, items: Sequence[pytest.Item]) -> int:
        """Whether a test fails once the function is changed."""
        if not swap(mutant):
            return ELSEWHERE
        return KILLED if any(self.failed for _ in self.run(items)) else 0


def swap(mutant: Mutant) -> bool:
    """Change a function wherever it is in use. False if it is in use nowhere, or cannot be changed so."""
    file = str(ROOT / mutant.file)
    new = {
        (code.co_qualname, code.co_firstlineno): code
        for code in _codes(compile(mutated(mutant), file, "exec"))
    }
    changed = False
    for one in gc.get_objects():
        if isinstance(one, types.FunctionType) and one.__code__.co_filename == file:
            code = new[one.__code__.co_qualname, one.__code__.co_firstlineno]
            if len(code.co_freevars) != len(one.__code__.co_freevars):
                return False
            one.__code__ = code
            changed = True
        elif isinstance(one, _lru_cache_wrapper) and one.__module__.startswith("diagnose"):
            one.cache_clear()
    return changed


def _codes(code: types.CodeType) -> Iterator[types.CodeType]:
    yield code
    for inner in code.co_consts:
        if isinstance(inner, types.CodeType):
            yield from _codes(inner)


class Wanted(Reports):
    """Keeps only some of the collected tests, in their order, and stops at the first failure."""

    def __init__(self, wanted: Sequence[str]) -> None:
        self.wanted = wanted

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        by_name = {item.nodeid: item for item in items}
        items[:] = [by_name[name] for name in self.wanted if name in by_name]


class _Changed(importlib.machinery.SourceFileLoader):
    tree: ast.Module

    def get_code(self, fullname: str) -> types.CodeType:
        code: types.CodeType = compile(self.tree, self.path, "exec")
        return code


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, mutant: Mutant) -> None:
        self.file = ROOT / mutant.file
        parts = mutant.file.removesuffix(".py").removesuffix("/__init__").split("/")
        self.name, self.tree = ".".join(parts), mutated(mutant)

    def find_spec(
        self, fullname: str, path: Any, target: Any = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self.name:
            return None
        loader = _Changed(fullname, str(self.file))
        loader.tree = self.tree
        inside = [str(self.file.parent)] if self.file.name == "__init__.py" else None
        return importlib.util.spec_from_file_location(
            fullname, self.file, loader=loader, submodule_search_locations=inside
        )


def read_anew(mutant: Mutant, tests: Sequence[str]) -> int:
    """Whether a test fails once the program is read in with the change."""
    assert not any(name.split(".")[0] == "diagnose" for name in sys.modules)
    sys.meta_path.insert(0, _Finder(mutant))
    files = dict.fromkeys(test.split("::")[0] for test in tests)
    ended = pytest.main([*QUIET, "-x", *files], plugins=[Wanted(tests)])
    return 0 if ended in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) else KILLED


def forked(
    jobs: Iterable[tuple[Mutant, float, Callable[[], int]]], at_once: int
) -> Iterator[tuple[Mutant, int]]:
    """Each job in a process of its own, so many at once; one that takes far too long is ended: killed."""
    running: dict[int, Mutant] = {}
    waiting = iter(jobs)
    while True:
        for mutant, seconds, job in waiting:
            running[_start(job, seconds)] = mutant
            if len(running) >= at_once:
                break
        if not running:
            return
        pid, status = os.waitpid(-1, 0)
        if pid in running:
            code = os.waitstatus_to_exitcode(status)
            if code not in (0, KILLED, ELSEWHERE, -signal.SIGXCPU, -signal.SIGKILL):
                raise RuntimeError(f"the process for {running[pid]} ended with {code}")
            yield running.pop(pid), code


def _start(job: Callable[[], int], seconds: float) -> int:
    pid = os.fork()
    if pid:
        return pid
    limit = int(15 + 4 * seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    code = 3
    try:
        code = job()
    finally:
        os._exit(code)
    raise AssertionError
