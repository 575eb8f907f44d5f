"""One point at which the command is stopped, by seed: what was done, what the screen said, what is on the disk."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

from diagnose.casebook.shelf import cards
from diagnose.casebook.store import load_case
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "driving"))

from crash_stories import CONSULTATIONS, NAME, STORIES, Kept, Story
from terminal import ESCAPES, Terminal

BAD_DISK = str(Path(__file__).with_name("bad_disk.py"))
ROOT = Path(__file__).resolve().parents[2]
WRITING = ("open", "write", "fsync", "link", "replace", "rename", "unlink", "truncate")
NO_SCREEN = 120
"""What Python ends with where the last words found no screen any more."""
MOST_TRIES = 12
"""How often a point that was not reached is drawn again."""


class NotReached(Exception):
    """The command was done before the point came."""


@dataclass(frozen=True)
class Stopped:
    """What a person saw until the command ended, and how it ended (a signal as a negative number)."""

    screen: str
    status: int
    where: str = ""
    """The operation of the disk at which it was stopped, if it was at one."""


@dataclass
class Outcome:
    """What was found at one point."""

    kind: str
    story: str
    seed: int
    acknowledged: int = 0
    kept: int = 0
    half_line: bool = False
    told: str = ""
    """What the next start said had happened: `half written`, `cut off`, or nothing."""
    where: str = ""
    wrong: list[str] = field(default_factory=list)
    """Whatever was not as it must be."""


@dataclass
class Place:
    """The folders of one point."""

    root: Path
    cache: Path
    deepest: int = 3
    """The last operation of the disk at which it may go bad, until it is learned how many a story has."""

    @property
    def cases(self) -> Path:
        """Where the cases are."""
        return self.root / "disk" / "cases"

    @property
    def journal(self) -> Path:
        """Where the bad disk writes what it was asked for."""
        return self.root / "journal"

    def environment(self, **more: str) -> dict[str, str]:
        """The environment of a person with a place for cases."""
        keep = {key: value for key, value in os.environ.items() if key in ("PATH", "HOME")}
        places = {
            "DIAGNOSE_CASES": str(self.cases),
            "DIAGNOSE_SETTINGS": str(self.root / "settings.yaml"),
            "DIAGNOSE_CACHE": str(self.cache),
            # Where no file may grow, Python would keep its compiled modules cut short, and no later start would go.
            "PYTHONDONTWRITEBYTECODE": "1",
        }
        return {
            **keep,
            **places,
            "PYTHONPATH": str(ROOT),
            "LANG": "C.UTF-8",
            "TERM": "xterm-256color",
            **more,
        }


@contextmanager
def started(place: Place, story: Story, plan: Mapping[str, object] | None = None) -> Iterator[Terminal]:
    """The story under way in a terminal, everything typed ahead."""
    bad = {"BAD_DISK": json.dumps(plan)} if plan else {}
    program = (BAD_DISK,) if plan else ("-m", "diagnose")
    terminal = Terminal(place.environment(**bad), *story.arguments, subject=None, program=program)
    try:
        for line in story.typed:
            terminal.type(line)
        yield terminal
    finally:
        terminal.end()


def until_end(terminal: Terminal, where: str = "") -> Stopped:
    """Everything on the screen until the command has ended."""
    terminal.read_rest(60)
    return Stopped(seen(terminal), terminal.wait(60), where)


def seen(terminal: Terminal) -> str:
    """What the person has seen so far."""
    return ESCAPES.sub("", terminal.raw)


# ---------------------------------------------------------------- ways to be stopped

Way = Callable[[random.Random, Place, Story], Stopped]


def at_random(rng: random.Random, place: Place, story: Story) -> Stopped:
    """SIGKILL at some moment: of a consultation after its first prompt, of a short command after its start."""
    with started(place, story) as terminal:
        if story.typed:
            terminal.read_until("> ")
            time.sleep(rng.uniform(0, 0.25))
        else:
            _wait_for_some_moment(rng, place, story, terminal)
        terminal.process.kill()
        return _stopped_by(terminal, -signal.SIGKILL)


def _wait_for_some_moment(rng: random.Random, place: Place, story: Story, terminal: Terminal) -> None:
    """Sometimes any moment of the start; else shortly after the folder of cases first changes."""
    if rng.random() < 0.3:
        time.sleep(rng.uniform(0.1, 0.6))
        return
    before, end = _names(place.cases), time.monotonic() + 60
    while _names(place.cases) == before and terminal.process.poll() is None and time.monotonic() < end:
        time.sleep(0.0005)
    time.sleep(rng.uniform(0, 0.03))


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*"))


def once_acknowledged(rng: random.Random, place: Place, story: Story) -> Stopped:
    """SIGKILL as soon as an answer is said to be kept."""
    with started(place, story) as terminal:
        _until_acknowledged(rng, terminal, story)
        terminal.process.kill()
        return _stopped_by(terminal, -signal.SIGKILL)


def window_closed(rng: random.Random, place: Place, story: Story) -> Stopped:
    """The terminal is closed after some answer: the command loses its keyboard and screen, and gets SIGHUP."""
    with started(place, story) as terminal:
        _until_acknowledged(rng, terminal, story)
        time.sleep(rng.choice([0, rng.uniform(0, 0.05)]))
        screen = seen(terminal)
        terminal.close()
        status = terminal.wait(60)
        if status in (0, 3):
            raise NotReached
        return Stopped(screen, status)


def _until_acknowledged(rng: random.Random, terminal: Terminal, story: Story) -> None:
    answered = sum(did == "answered" for did, _, _ in story.keeps)
    wanted, end = rng.randint(1, answered), time.monotonic() + 60
    while terminal.raw.count("Kept: ") < wanted and time.monotonic() < end:
        before = len(terminal.raw)
        terminal.read_until("", 0.2)
        if len(terminal.raw) == before and terminal.process.poll() is not None:
            raise NotReached


def _stopped_by(terminal: Terminal, status: int) -> Stopped:
    stopped = until_end(terminal)
    if stopped.status != status:
        raise NotReached
    return stopped


def killed_at_the_disk(rng: random.Random, place: Place, story: Story) -> Stopped:
    """SIGKILL before, within or after some operation on the files of cases."""
    how = rng.choice(["before", "within", "within", "after"])
    stopped = _on_a_bad_disk(rng, place, story, how, WRITING, stays=False)
    if stopped.status != -signal.SIGKILL:
        raise NotReached
    return stopped


def full_from_then_on(rng: random.Random, place: Place, story: Story) -> Stopped:
    """ENOSPC at some write, of which a part may still go through, and at all later ones."""
    return _on_a_bad_disk(rng, place, story, errno.ENOSPC, ("open", "write", "link"), stays=True)


def failing_write(rng: random.Random, place: Place, story: Story) -> Stopped:
    """EIO at some write; when it stays, what was half written cannot be taken away either."""
    return _on_a_bad_disk(rng, place, story, errno.EIO, ("write", "truncate"), rng.random() < 0.7)


def failing_force(rng: random.Random, place: Place, story: Story) -> Stopped:
    """EIO when the disk is told to keep what it took."""
    return _on_a_bad_disk(rng, place, story, errno.EIO, ("fsync",), rng.random() < 0.5)


def failing_names(rng: random.Random, place: Place, story: Story) -> Stopped:
    """EIO where a file gets another name or loses one."""
    operations = ("link", "replace", "rename", "unlink")
    return _on_a_bad_disk(rng, place, story, errno.EIO, operations, rng.random() < 0.5)


def _on_a_bad_disk(
    rng: random.Random, place: Place, story: Story, how: str | int, operations: tuple[str, ...], stays: bool
) -> Stopped:
    most = _OPERATIONS.get((story.name, operations), place.deepest)
    if not most:
        raise NotReached
    plan = {
        "folder": str(place.cases),
        "journal": str(place.journal),
        "operations": operations,
        "at": rng.randint(1, most),
        "how": how,
        "share": rng.choice([0, rng.random(), 1]) if how != "within" else rng.random(),
        "stays": stays,
    }
    with started(place, story, plan) as terminal:
        stopped = until_end(terminal)
    lines = place.journal.read_text().splitlines() if place.journal.exists() else []
    if "HIT" not in lines:
        # Learned for the next draw: so many there are.
        _OPERATIONS[story.name, operations] = sum(line.split()[0] in operations for line in lines)
        raise NotReached
    where = lines[lines.index("HIT") - 1].split()[0]
    if isinstance(how, str):
        # Only a write can be cut within; any other operation was done, and then the program killed.
        where += " after" if how == "within" and where != "write" else f" {how}"
    return Stopped(stopped.screen, stopped.status, where)


_OPERATIONS: dict[tuple[str, tuple[str, ...]], int] = {}


def no_room_for_the_file(rng: random.Random, place: Place, story: Story) -> Stopped:
    """The system itself lets no file grow beyond a size (RLIMIT_FSIZE)."""
    size = (0 if story.begins else len(story.prior)) + rng.randint(0, 700)
    with started(place, story) as terminal:
        resource.prlimit(terminal.process.pid, resource.RLIMIT_FSIZE, (size, size))
        stopped = until_end(terminal)
    if stopped.status in (0, 3):
        raise NotReached
    return stopped


def full_for_real(rng: random.Random, place: Place, story: Story) -> Stopped:
    """A file system of a few pages, filled up but for what is left in the last page of the case."""
    disk = place.cases.parent
    with _mounted("-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)):
        lay(place, story)
        filler = disk / "filler"
        with contextlib.suppress(OSError), filler.open("wb", buffering=0) as file:
            while True:
                file.write(bytes(4096))
        with started(place, story) as terminal:
            stopped = until_end(terminal)
        filler.unlink()
        _take_off(place)
    shutil.rmtree(place.cases)
    (place.root / "taken_off").replace(place.cases)
    if stopped.status in (0, 3):
        raise NotReached
    return stopped


def folder_read_only(rng: random.Random, place: Place, story: Story) -> Stopped:
    """The folder of cases on a file system that is mounted read-only."""
    with _mounted("--bind", str(place.cases), str(place.cases)):
        subprocess.run(["mount", "-o", "remount,ro,bind", str(place.cases)], check=True)
        with started(place, story) as terminal:
            return until_end(terminal)


@contextmanager
def _mounted(*words: str) -> Iterator[None]:
    subprocess.run(["mount", *words], check=True, capture_output=True)
    try:
        yield
    finally:
        subprocess.run(["umount", words[-1]], check=True)


def _take_off(place: Place) -> None:
    """Bring the cases from the small disk to where they stay when it is taken away."""
    kept = place.root / "taken_off"
    shutil.rmtree(kept, ignore_errors=True)
    subprocess.run(["cp", "-a", str(place.cases), str(kept)], check=True)


@lru_cache
def can_mount() -> bool:
    """Whether this machine lets us mount."""
    with TemporaryDirectory() as folder:
        try:
            with _mounted("-t", "tmpfs", "-o", "size=64k", "tmpfs", folder):
                return True
        except (OSError, subprocess.CalledProcessError):
            return False


WAYS: dict[str, tuple[Way, tuple[str, ...]]] = {
    "killed at a random moment": (at_random, tuple(STORIES)),
    "killed right after an answer was acknowledged": (once_acknowledged, CONSULTATIONS),
    "killed before, within or after a file operation": (killed_at_the_disk, tuple(STORIES)),
    "terminal closed": (window_closed, CONSULTATIONS),
    "disk full from a write on": (full_from_then_on, tuple(STORIES)),
    "no room for the file to grow": (no_room_for_the_file, tuple(STORIES)),
    "write fails": (failing_write, tuple(STORIES)),
    "forcing to the disk fails": (failing_force, tuple(STORIES)),
    "a name cannot be given or taken": (failing_names, tuple(STORIES)),
    **(
        {
            "small disk filled up": (full_for_real, tuple(STORIES)),
            "folder mounted read-only": (folder_read_only, tuple(STORIES)),
        }
        if can_mount()
        else {}
    ),
}
"""The ways to be stopped, each with the stories that it can meet."""


# ---------------------------------------------------------------- what must be so afterwards


@lru_cache
def rules(cache: Path) -> RuleBase:
    """The rules that came along, read by the program as it keeps them between starts."""
    return read_rule_base_kept([ROOT / "rules"], cache)


def lay(place: Place, story: Story) -> None:
    """Put the case there as it was before, of a person who was asked for units and law before."""
    (place.root / "settings.yaml").write_text("units: metric\n", encoding="utf-8")
    place.cases.mkdir(parents=True)
    (place.cases / f"{NAME}.yaml").write_bytes(story.prior)


def padded(rng: random.Random, story: Story) -> Story:
    """The story with a remark before it, so long that little room is left in the last page of the disk."""
    begins = '- {"at": "2024-03-16", "did": "noted", "value": "'
    bare = len(story.prior) + len(begins) + len('"}\n')
    room = -(bare + rng.randint(0, 600)) % 4096
    return replace(story, prior=story.prior + f'{begins}{"." * room}"}}\n'.encode())


def point(
    kind: str,
    seed: int,
    cache: Path,
    start_again: bool | None = None,
    among: Sequence[str] = (),
    deepest: int = 3,
) -> Outcome:
    """Stop the command once, at a point drawn by the seed, and see what came of it.

    Without `start_again` the seed says whether the next start is tried too, once in three. `among` leaves out others
    than these stories; `deepest` is as in a Place. Raises NotReached where no point was found.
    """
    rng = random.Random(seed)
    way, names = WAYS[kind]
    for _ in range(MOST_TRIES):
        story = padded(rng, STORIES[rng.choice([name for name in names if not among or name in among])])
        with TemporaryDirectory() as folder:
            place = Place(Path(folder), cache, deepest)
            lay(place, story)
            with contextlib.suppress(NotReached):
                stopped = way(rng, place, story)
                outcome = Outcome(kind, story.name, seed, where=stopped.where)
                case = look(place, story, stopped, outcome)
                again = rng.random() < 1 / 3 if start_again is None else start_again
                if again and not outcome.wrong:
                    go_on(place, story, case, outcome)
                return outcome
    raise NotReached(f"{kind}, seed {seed}")


def look(place: Place, story: Story, stopped: Stopped, outcome: Outcome) -> Path | None:
    """What is on the disk, held against what the screen said. Returns the case of the story, if there is one."""
    wrong = outcome.wrong
    outcome.acknowledged = story.acknowledged(stopped.screen)
    if "Traceback" in stopped.screen:
        wrong.append(f"a traceback was shown:\n{stopped.screen[-1500:]}")
    if stopped.status == 1 and not stopped.screen.rstrip().endswith((".", NAME)):
        wrong.append(f"it failed without a sentence: {stopped.screen[-300:]!r}")
    if stopped.status not in (0, 1, 3, -signal.SIGKILL, -signal.SIGHUP, NO_SCREEN):
        wrong.append(f"it ended with {stopped.status}:\n{stopped.screen[-1500:]}")
    wrong += [f"{card.name} cannot be read: {card.problem}" for card in cards(place.cases) if card.problem]
    wrong += [f"a stray file: {name}" for name in _stray(place, story)]
    case = _case_of(place, story, stopped, wrong)
    if case is None:
        if outcome.acknowledged:
            wrong.append("entries were said to be kept, and there is no case")
        return None
    raw = case.read_bytes()
    outcome.half_line = not raw.endswith(b"\n")
    try:
        kept = entries(case, place.cache)
    except RuleFilesWrong as error:
        wrong.append(
            f"{'LOST: ' if outcome.acknowledged else ''}the case of the story cannot be read: {error}"
        )
        return case
    if not story.begins:
        heads = (
            (story.head(story.prior),)
            if story.said(stopped.screen)
            else (story.prior, story.head(story.prior))
        )
        if not raw.startswith(heads):
            wrong.append("what was in the file before is not there letter for letter")
        kept = kept[_count(story.prior) :]
    outcome.kept = len(kept)
    wrong += _not_as_kept(story, kept, outcome.acknowledged, stopped.status == -signal.SIGKILL)
    return case


def _not_as_kept(story: Story, kept: Sequence[Kept], acknowledged: int, all_seen: bool) -> list[str]:
    wrong = []
    if len(kept) < acknowledged:
        wrong.append(f"LOST: {acknowledged} entries were said to be kept, and {len(kept)} are there")
    if [*kept] != [*story.keeps[: len(kept)]]:
        wrong.append(f"other entries are there than were given: {kept}")
    if story.together and len(kept) not in (0, len(story.keeps)):
        wrong.append(f"only {len(kept)} of {len(story.keeps)} entries that belong together are there")
    if story.typed and all_seen and len(kept) > acknowledged + 1:
        wrong.append(f"{len(kept)} entries are there, and only {acknowledged} were told")
    return wrong


def _case_of(place: Place, story: Story, stopped: Stopped, wrong: list[str]) -> Path | None:
    """The case file of the story. Sees to it that the prior one is there."""
    here, away = place.cases / f"{NAME}.yaml", place.cases / "archived" / f"{NAME}.yaml"
    there = [path for path in (here, away) if path.exists()]
    if not there:
        wrong.append("LOST: the case is gone")
        return None
    if len(there) == 2 and not here.samefile(away):
        wrong.append("the case is there twice, and not as one file")
    if story.arguments[0] == "archive" and story.said(stopped.screen) and there != [away]:
        wrong.append("it was said to be moved, and was not")
    backup = place.cases / f"{NAME}.yaml.format1"
    if backup.exists() and backup.read_bytes() != story.prior:
        wrong.append("the file kept as it was is not as it was")
    if not story.begins:
        if (
            there[0].read_bytes()[:200] != story.prior[:200]
            and b"format: 1" in story.prior
            and not backup.exists()
        ):
            wrong.append("the format was raised, and the old file is not kept")
        return there[0]
    if here.read_bytes() != story.prior:
        wrong.append("LOST: another case changed")
    new = [path for path in place.cases.glob("[!.]*.yaml") if path != here]
    if len(new) > 1:
        wrong.append(f"more than one case was begun: {new}")
    return new[0] if new else None


def _stray(place: Place, story: Story) -> list[str]:
    """Files that nobody knows: a case, its backup, a note of who has it and a half one are known."""
    known = re.compile(r"haze_\w+\.yaml(\.format1)?|\.haze_\w+\.yaml[.\w]*\.(held|new)|archived")
    return [path.name for path in place.cases.rglob("*") if not known.fullmatch(path.name)]


def entries(case: Path, cache: Path) -> list[Kept]:
    """The entries of a case as they stand in the file, read by the program."""
    file, _ = load_case(case, rules(cache))
    return [(event.did, event.about, _plain(event.value)) for event in file.events]


def _plain(value: object) -> object:
    return list(value) if isinstance(value, tuple | list | frozenset) else value


def _count(raw: bytes) -> int:
    return raw.count(b'\n- {"at"')


# ---------------------------------------------------------------- the next start


def go_on(place: Place, story: Story, case: Path | None, outcome: Outcome) -> None:
    """Start the command again: it says what happened, everything is there, and one more entry is kept."""
    if case is not None and case.parent.name == "archived":
        screen = _start(place, Story("bring back", ("unarchive", NAME), ()), outcome)
        case = place.cases / case.name
        if "Moved:" not in screen:
            outcome.wrong.append(f"it could not be brought back:\n{screen[-800:]}")
            return
    if case is None and story.name not in CONSULTATIONS:
        # No copy was begun; the case it was to be made of is gone on with.
        case = place.cases / f"{NAME}.yaml"
    before = entries(case, place.cache) if case else []
    was_held = case is not None and case.with_name(f".{case.name}.held").exists()
    name = case.stem if case else NAME
    if case is None and story.name in CONSULTATIONS:
        after = Story("begin anew", ("--about", "haze"), (), typed=("skip", "stop"))
    elif story.name in CONSULTATIONS:
        after = Story("go on", ("continue", name), (), typed=("skip", "stop"))
    else:
        after = Story("go on", ("note", name, "Gone on."), ())
    screen = _start(place, after, outcome)
    outcome.told = next((words for words in ("half written", "cut off") if words in screen), "")
    expected = "half written" if outcome.half_line else "cut off" if was_held else ""
    if outcome.told != expected:
        outcome.wrong.append(f"the next start said {outcome.told!r} and not {expected!r}:\n{screen[:800]}")
    found = case or next((path for path in place.cases.glob("[!.]*.yaml") if path.stem != NAME), None)
    now = entries(found, place.cache) if found and (case or after.typed) else []
    if len(now) != len(before) + 1 or now[: len(before)] != before:
        outcome.wrong.append(f"going on did not add one entry: {before} became {now}:\n{screen[-800:]}")
    left = [path.name for path in place.cases.rglob(".*") if case and path.name.startswith(f".{case.name}")]
    if left:
        outcome.wrong.append(f"left beside the case after the next start: {left}")


def _start(place: Place, story: Story, outcome: Outcome) -> str:
    with started(place, story) as terminal:
        stopped = until_end(terminal)
    if stopped.status not in (0, 3) or "Traceback" in stopped.screen:
        outcome.wrong.append(f"the next start ended with {stopped.status}:\n{stopped.screen[-1500:]}")
    return " ".join(stopped.screen.split())
