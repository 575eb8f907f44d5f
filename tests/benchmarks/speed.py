"""How long a person waits, how much memory that takes, and how both grow with the rules."""

from __future__ import annotations

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from consultations import play_ours
from diagnose.engine.facts import Fact
from many import COPY, Grow, many
from people import NONE, draw_people
from play import Play, Rules, shipped, worked_cases
from tables import percentile, table

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]

BARE = (
    "import click, numpy, platformdirs, rapidfuzz.fuzz, yaml, rich.console, rich.table\n"
    "from pydantic import BaseModel\n"
    "from diagnose.engine.experta_shim import experta\n"
    "experta.KnowledgeEngine\n"
)
"""The libraries the program stands on. experta comes through the shim, without which it cannot be imported."""


# ---------------------------------------------------------------- the next question


def waits(topics: Sequence[str], people: int, seed: int) -> list[float]:
    """Every time from an answer to the next question, over whole consultations, nothing else at work here."""
    rules = shipped()
    return [
        step.seconds
        for topic in topics
        for person in draw_people(rules, topic, people, seed)
        for step in play_ours(rules, person).steps[1:]
    ]


# ---------------------------------------------------------------- the start


@dataclass(frozen=True)
class Took:
    """Seconds of one process, the median of several: by the clock, and of the processor's time."""

    clock: float
    processor: float


@dataclass(frozen=True)
class Started:
    """What the start takes, and the peak of memory of a consultation."""

    nothing: Took
    """An empty process."""
    bare: Took
    first_question: Took
    megabytes: float

    @property
    def over_bare(self) -> float:
        """The start over the bare imports, in the processor's time."""
        return self.first_question.processor / self.bare.processor


def start(times: int) -> Started:
    """From the start of the process to the first question on the screen, and what an import of the libraries takes."""
    return Started(
        nothing=_median(times, lambda: _run("pass")),
        bare=_median(times, lambda: _run(BARE)),
        first_question=_median(times, _first_question),
        megabytes=_peak(),
    )


def _median(times: int, once: Callable[[], float]) -> Took:
    clock, processor = [], []
    for _ in range(times):
        before = _processor_time()
        clock.append(once())
        processor.append(_processor_time() - before)
    return Took(statistics.median(clock), statistics.median(processor))


def _processor_time() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _environment(folder: str = "") -> dict[str, str]:
    kept = {"DIAGNOSE_CASES": folder, "DIAGNOSE_SETTINGS": f"{folder}/none.yaml"} if folder else {}
    return {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(HERE)]), **kept}


def _run(program: str) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], check=True, env=_environment())
    return time.perf_counter() - began


def _first_question() -> float:
    """The real command, read until its first question has been written."""
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, "-u", "-m", "diagnose", "--about", "haze"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env=_environment(folder),
            cwd=ROOT,
        )
        assert process.stdout is not None
        shown = b""
        # The last thing written before the program waits for the first answer is its first choice of answers.
        while FIRST not in shown:
            piece = os.read(process.stdout.fileno(), 4096)
            if not piece:
                raise AssertionError(f"no first question came: {shown.decode(errors='replace')[-500:]}")
            shown += piece
        seconds = time.perf_counter() - began
        # Ended before it can do more, so that its processor time is that of the start.
        process.kill()
        process.communicate()
    return seconds


FIRST = b"?"
"""A question mark is first met in the first question."""


def _peak() -> float:
    """Megabytes at the most, over one consultation in a process of its own."""
    program = (
        "from consultations import play_ours\n"
        "from people import draw_people\n"
        "from play import shipped\n"
        "from speed import own_peak\n"
        "play_ours(shipped(), draw_people(shipped(), 'haze', 1, 1)[0])\n"
        "print(own_peak())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True, env=_environment()
    )
    return float(done.stdout.split()[-1])


def own_peak() -> float:
    """The most memory this process has held, in megabytes."""
    status = Path("/proc/self/status")
    if status.exists():
        # On Linux the figure of getrusage may be that of the process which started this one.
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (
        1024**2 if sys.platform == "darwin" else 1024
    )


# ---------------------------------------------------------------- another machine


@dataclass(frozen=True)
class Machines:
    """Seconds for one run from nothing, the mean over some worked cases."""

    cases: int
    network_built: float
    network: float
    chain: float
    clips_built: float
    clips: float


def machines(every: int) -> Machines:
    """experta's network of the rules within reach, its plain twin, and CLIPS, on the same rules and answers."""
    sys.path.insert(0, str(ROOT / "tests" / "oracles"))
    from clips_machine import ClipsMachine

    rules = shipped()
    cellar, cases = rules.cellar, worked_cases(rules)[::every]
    began = time.process_time()
    clips = ClipsMachine(cellar.base, cellar.rules.values())
    clips_built = time.process_time() - began
    took: dict[str, list[float]] = {"built": [], "network": [], "chain": [], "clips": []}
    for case in cases:
        facts = [Fact(name, value) for name, value in case.answers.items()]
        began = time.process_time()
        network = cellar.network(facts, [case.topic])
        took["built"].append(time.process_time() - began)
        for name, run in (("network", network.start), ("chain", cellar.chain.start), ("clips", clips.run)):
            began = time.process_time()
            run(facts)
            took[name].append(time.process_time() - began)
    mean = {name: statistics.fmean(values) for name, values in took.items()}
    return Machines(len(cases), mean["built"], mean["network"], mean["chain"], clips_built, mean["clips"])


def machine_lines(found: Machines) -> list[str]:
    """Each machine with its time and its ratio to CLIPS."""
    lines = [
        ["experta, rules within reach", found.network_built, found.network],
        ["its plain twin, all rules", 0.0, found.chain],
        ["CLIPS, all rules", found.clips_built, found.clips],
    ]
    shown = [
        [name, f"{1000 * built:.0f}" if built else "-", f"{1000 * run:.1f}", f"{run / found.clips:.1f}"]
        for name, built, run in lines
    ]
    return table(["machine", "to build, ms", "one run, ms", "run over CLIPS"], shown)


# ---------------------------------------------------------------- many times the rules


@dataclass(frozen=True)
class Grown:
    """How one size of the rules behaves."""

    times: int
    grow: Grow
    causes: int
    rules: int
    made_ready: float
    """Seconds to make the rules ready; a person reads the first question meanwhile."""
    steps: tuple[float, ...]
    """Seconds from answer to next question."""
    megabytes: float


def grown(times: int, grow: Grow, answers: int, patience: float, topic: str = "haze") -> Grown | None:
    """Grow the rules in a process of its own, and answer some questions; None when it takes too many seconds."""
    program = (
        "import json\n"
        "from speed import measure_grown, own_peak\n"
        f"found = measure_grown({times}, {grow!r}, {answers}, {topic!r})\n"
        "print(json.dumps([*found, own_peak()]))\n"
    )
    try:
        done = subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            env=_environment(),
            check=True,
            timeout=patience,
        )
    except subprocess.TimeoutExpired:
        return None
    causes, rules, ready, steps, memory = json.loads(done.stdout.splitlines()[-1])
    return Grown(times, grow, causes, rules, ready, tuple(steps), memory)


def measure_grown(times: int, grow: Grow, answers: int, topic: str) -> tuple[int, int, float, list[float]]:
    """Causes weighed, rules, seconds to be ready, and seconds of each answer."""
    base = many(shipped().base, times, grow)
    person = draw_people(shipped(), topic, 1, 1)[0].with_noise(NONE)
    began = time.process_time()
    rules = Rules(base)
    play = Play(rules, topic)
    name = play.next_question()
    play.make_ready()
    ready = time.process_time() - began
    steps: list[float] = []
    while name is not None and len(steps) < answers:
        # A copy of a question is answered as the question itself.
        value = person.says(COPY.sub("", name))
        began = time.process_time()
        play.answer(name, value)
        name = play.next_question()
        steps.append(time.process_time() - began)
    weighed = sum(cause.topic == topic for cause in base.causes.values())
    return weighed, len(rules.cellar.rules), ready, steps


Size = tuple[int, Grow]


def grown_lines(found: Mapping[Size, Grown | None], patience: float) -> list[str]:
    """Each size, with its ratio to the shipped one."""
    lines: list[list[object]] = []
    for (times, grow), item in found.items():
        name = f"{times}x, more {grow}"
        if item is None:
            lines.append([name, *["-"] * 5, f"not done within {patience:.0f} s", "-", "-"])
            continue
        growth = growth_of(found, (times, grow))
        lines.append(
            [
                name,
                item.rules,
                item.causes,
                f"{item.made_ready:.1f}",
                len(item.steps),
                f"{1000 * statistics.median(item.steps):.0f}",
                f"{1000 * percentile(item.steps, 0.99):.0f}",
                f"{growth:.2f}",
                f"{item.megabytes:.0f}",
            ]
        )
    head = ["size", "rules in all", "causes weighed", "ready in s", "answers", "median ms", "99 % ms"]
    return table([*head, "ratio to 1x", "peak MB"], lines)


def growth_of(found: Mapping[Size, Grown | None], size: Size) -> float | None:
    """The median time of this size over that of the shipped rules, on the same first answers."""
    item, alone = found.get(size), found.get((1, "topics"))
    if item is None or alone is None:
        return None
    return statistics.median(item.steps) / statistics.median(alone.steps[: len(item.steps)])
