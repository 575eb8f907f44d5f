"""Measure the program and write `docs/benchmarks.md`: `python tests/benchmarks/run.py`.

Everything is a ratio or a rate, from fixed seeds; times are those of this machine. `--people`, `--cases`, `--parts`,
`--draws` and `--sizes` set how much is tried; `--quick` tries a little of everything; `--jobs` shares it out.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import pickle
import platform
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import asking
import best
import certainty
import speed
from consultations import KEYS, Played
from load import load_lines, read_measured
from play import Rules, shipped, worked_cases
from tables import met, percentile, share, table

PAGE = Path(__file__).resolve().parents[2] / "docs" / "benchmarks.md"

Task = TypeVar("Task")
Result = TypeVar("Result")


def options(given: Sequence[str]) -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(description="Measure the program, and write a page of the figures.")
    parser.add_argument("--people", type=int, default=12, help="simulated people for each topic and noise")
    parser.add_argument("--cases", type=int, default=9, help="play every so-manyth worked case")
    parser.add_argument("--judged", type=int, default=1, help="judge every so-manyth worked case whole")
    parser.add_argument(
        "--parts", type=int, default=2, help="parts of each topic searched for the best order"
    )
    parser.add_argument("--draws", type=int, default=2, help="drawings of other strengths")
    parser.add_argument("--shaken", type=int, default=6, help="judge every so-manyth worked case with these")
    parser.add_argument(
        "--sizes", type=int, nargs="*", default=[1, 3, 10, 30], help="times the shipped rules"
    )
    parser.add_argument("--patience", type=float, default=90.0, help="seconds a size may take")
    parser.add_argument("--topics", nargs="*", default=list(shipped().topics), help="only these topics")
    parser.add_argument(
        "--keep", type=Path, help="keep consultations in this file, and go on from it next time"
    )
    parser.add_argument("--starts", type=int, default=5, help="processes started to measure the start")
    parser.add_argument("--seed", type=int, default=1, help="another seed draws other people")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes at once")
    parser.add_argument("--to", type=Path, default=PAGE, help="the page to write")
    parser.add_argument("--quick", action="store_true", help="a little of everything, to see that it runs")
    found = parser.parse_args(given)
    if found.quick:
        found.judged = 20
        found.people, found.cases, found.parts, found.draws, found.shaken = 1, 300, 0, 1, 100
        found.sizes, found.starts, found.topics = [1], 1, found.topics[:1]
    return found


def spread(work: Callable[[Task], Result], tasks: Sequence[Task], jobs: int, what: str) -> list[Result]:
    """Do tasks in several processes. What comes back does not depend on how many there are."""
    began = time.perf_counter()
    found: list[Result] = []
    for result in _each(work, tasks, jobs):
        found.append(result)
        if sys.stderr.isatty():
            print(f"\r{what}: {len(found)} of {len(tasks)}", end="", file=sys.stderr)
    print(f"\r{what}: {len(tasks)} in {time.perf_counter() - began:.0f} s", file=sys.stderr)
    return found


def _each(work: Callable[[Task], Result], tasks: Sequence[Task], jobs: int) -> Iterator[Result]:
    if jobs <= 1 or len(tasks) <= 1:
        yield from map(work, tasks)
        return
    with multiprocessing.Pool(jobs) as pool:
        yield from pool.imap(work, tasks)


def main(given: Sequence[str]) -> None:
    """Measure everything and write the page."""
    want = options(given)
    began = time.perf_counter()
    rules = shipped()
    # First, while nothing else runs.
    started = speed.start(want.starts)
    waits = speed.waits(want.topics, 1, want.seed)
    sizes = _sizes(want)
    jobs = [*asking.people_jobs(want.topics, want.people, want.seed), *asking.case_jobs(rules, want.cases)]
    results = _played(jobs, want)
    places = spread(
        asking.judge_case, range(0, len(worked_cases(rules)), want.judged), want.jobs, "cases judged"
    )
    parts = spread(best.compare, best.parts(want.topics, want.parts), want.jobs, "parts searched")
    shaken = spread(
        certainty.shake_and_judge, certainty.shakes(want.draws, want.shaken), want.jobs, "other strengths"
    )
    lines = [
        *_head(rules, want),
        *_goals(results, parts, started, waits, sizes),
        *_asking(results, places, parts, want),
        *_certainty(results, shaken),
        *_speed(started, waits, sizes, speed.machines(want.cases), want),
        *load_lines(read_measured()),
    ]
    want.to.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")
    print(f"{want.to.name} written after {time.perf_counter() - began:.0f} s", file=sys.stderr)


def _played(jobs: Sequence[asking.Job], want: argparse.Namespace) -> asking.Results:
    """Play the consultations that were not kept from an earlier time."""
    kept: dict[asking.Job, Played | None] = {}
    if want.keep and want.keep.exists():
        kept = pickle.loads(want.keep.read_bytes())
    missing = [job for job in jobs if job not in kept]
    kept.update(spread(asking.play_job, missing, want.jobs, "consultations"))
    if want.keep:
        want.keep.write_bytes(pickle.dumps(kept))
    return [(job, found) for job in jobs if (found := kept[job]) is not None]


def _sizes(want: argparse.Namespace) -> dict[speed.Size, speed.Grown | None]:
    found: dict[speed.Size, speed.Grown | None] = {}
    for grow in ("topics", "causes"):
        for times in want.sizes:
            if (times, grow) == (1, "causes"):
                continue
            smaller = [item for (other, how), item in found.items() if how == grow and other < times]
            # Where a smaller size was not done in time, a larger one is not tried.
            hopeless = any(item is None for item in smaller)
            found[times, grow] = None if hopeless else speed.grown(times, grow, 6, want.patience)
            print(
                f"{times}x, more {grow}: {'not done' if found[times, grow] is None else 'done'}",
                file=sys.stderr,
            )
    return found


# ---------------------------------------------------------------- the page


def _head(rules: Rules, want: argparse.Namespace) -> list[str]:
    topics = len(rules.topics)
    return [
        "# Benchmarks",
        "",
        "This page is written by `python tests/benchmarks/run.py`; run it again after a change. It says how well the "
        "program asks, how often it is right, whether its chances come true, and how long a person waits.",
        "",
        f"Measured on {os.cpu_count()} processors, {platform.system()}, Python {platform.python_version()}, "
        f"with rules {rules.base.name.version}: {len(rules.cellar.rules)} rules, {len(rules.base.causes)} causes in "
        f"{topics} topics, {len(rules.base.observations)} questions, {len(worked_cases(rules))} worked cases. "
        f"{want.people} simulated people for each topic and each way of answering; every {_th(want.cases)} worked case "
        f"played; seed {want.seed}. In brackets stand the ends of the interval that holds a share 95 times in 100.",
        "",
        "Simulated people are drawn from the rules themselves: their causes by how common they are, their answers by "
        "how often each is met with these causes. So this page can show where the program is too sure of what it was "
        "told, or asks in a poor order. Whether the rules are true to cellars it cannot show. "
        + asking.share_of_sets(rules),
        "",
    ]


def _th(number: int) -> str:
    return {1: "single", 2: "second", 3: "third"}.get(number, f"{number}th")


def _goals(
    results: asking.Results,
    parts: Sequence[best.Compared],
    started: speed.Started,
    waits: Sequence[float],
    sizes: Mapping[speed.Size, speed.Grown | None],
) -> list[str]:
    fixed = asking.ratios_to(results, "fixed order")["questions"]
    median = 1000 * statistics.median(waits)
    tenfold = sizes.get((10, "topics"))
    ten = 1000 * statistics.median(tenfold.steps) if tenfold else None
    growth = [
        (size[0], speed.growth_of(sizes, size)) for size in sizes if size[1] == "topics" and size[0] > 1
    ]
    beyond = [found / times for times, found in growth if found is not None]
    goals: list[tuple[str, float | None, float, str]] = [
        ("questions, ours over fixed order", fixed, 0.5, "{:.2f}"),
        ("minutes, ours over the best possible, on small parts", _to_best(parts), 1.15, "{:.2f}"),
        (
            "wrong when above 90 % sure, every answer true",
            certainty.wrong_when_sure(results, asking.TRUE),
            0.05,
            "{:.2f}",
        ),
        (
            "wrong when above 90 % sure, 10 % of answers wrong",
            certainty.wrong_when_sure(results, "10 % wrong"),
            0.05,
            "{:.2f}",
        ),
        ("answer to next question, median, ms", median, 50, "{:.0f}"),
        ("the same at 10x the rules, ms", ten, 300, "{:.0f}"),
        (
            "growth of that time over growth of the rules, at the worst",
            max(beyond, default=None),
            1.0,
            "{:.2f}",
        ),
        ("start to first question, s", started.first_question.processor, 0.7, "{:.2f}"),
        ("start to first question over the bare imports", started.over_bare, 2.0, "{:.2f}"),
    ]
    lines = [
        [name, "-" if value is None else form.format(value), f"at most {goal:g}", met(value, goal)]
        for name, value, goal, form in goals
    ]
    return ["## Goals", "", *table(["figure", "measured", "goal", "kept"], lines)]


def _to_best(parts: Sequence[best.Compared]) -> float | None:
    return best.ratio_to_best(parts) if parts else None


def _asking(
    results: asking.Results,
    places: Sequence[int],
    parts: Sequence[best.Compared],
    want: argparse.Namespace,
) -> list[str]:
    lines = ["## How soon the cause is found", "", *asking.how_soon(results), *asking.ratio_lines(results)]
    lines += [f"The published key is an order of questions for {', '.join(sorted(KEYS))}.", ""]
    if parts:
        lines += [
            "### Against the best possible order",
            "",
            "Of each part, four causes and six questions of a topic, every order of asking was searched. The cost is "
            "that until the true cause first stands first; minutes count three for the attention of each question. "
            "Where the program stops before that, the questions left are asked in file order.",
            "",
            *best.compared_lines(parts),
        ]
    if not want.quick:
        lines += ["### The fewest questions by information", "", *_least(results, want)]
    lines += ["### What helped and what did not", "", *asking.what_helped(results)]
    first, three = (share(sum(place < most for place in places), len(places)) for most in (1, 3))
    whole = (
        f"Of {len(places)} worked cases, judged on all their answers at once, {first} have the cause they expect "
        f"first, and {three} have it in the first three. Below, whole consultations; a worked case answers "
        "what stands in it."
    )
    lines += ["## How often it is right", "", whole, ""]
    return [*lines, *asking.how_often(results), *asking.by_truth(results)]


def _least(results: asking.Results, want: argparse.Namespace) -> list[str]:
    lines = []
    for topic in want.topics:
        plays = [
            play
            for play in asking.of(results, asking.OURS, asking.TRUE)
            if play.topic == topic and len(play.truth) == 1
        ]
        reached = [play.until_right or 0 for play in plays if play.right]
        doubt, least = best.least_questions(topic, 0.9)
        ours = f"{statistics.fmean(reached):.1f} of {len(reached)}" if reached else "-"
        lines.append([topic, f"{doubt:.1f}", f"{least:.1f}", ours])
    return [
        "A bound for people with one cause at work, to be right nine times in ten: no question tells more than its "
        "answers can carry about the causes. Combinations of answers are left out.",
        "",
        *table(["topic", "doubt at first, bits", "fewest questions", "ours, mean"], lines),
    ]


def _certainty(results: asking.Results, shaken: Sequence[certainty.Shaken]) -> list[str]:
    return [
        "## Whether the chances come true",
        "",
        *certainty.scores(results),
        "The first cause at the end of the asking, by its stated chance:",
        "",
        *certainty.reliability(results),
        "Every cause at the end of the asking, every answer true:",
        "",
        *certainty.every_cause(results),
        "## Other strengths",
        "",
        "Worked cases judged again after normal noise on the numbers behind the strength words.",
        "",
        *certainty.shaken_lines(shaken),
    ]


def _speed(
    started: speed.Started,
    waits: Sequence[float],
    sizes: Mapping[speed.Size, speed.Grown | None],
    other: speed.Machines,
    want: argparse.Namespace,
) -> list[str]:
    lines = [
        [
            "answer to next question, median",
            f"{1000 * statistics.median(waits):.0f} ms",
            f"{len(waits)} answers",
        ],
        [
            "answer to next question, 99 % within",
            f"{1000 * percentile(waits, 0.99):.0f} ms",
            f"{len(waits)} answers",
        ],
        *(
            [name, f"{took.processor:.2f} s ({took.clock:.2f} s by the clock)", f"median of {want.starts}"]
            for name, took in (
                ("an empty Python process", started.nothing),
                ("bare imports of the libraries", started.bare),
                ("start to the first question on the screen", started.first_question),
            )
        ),
        ["start over bare imports", f"{started.over_bare:.2f}", ""],
        ["peak memory of one consultation", f"{started.megabytes:.0f} MB", ""],
    ]
    return [
        "## How long it takes",
        "",
        "Times are the processor's, so that other work on the machine is left out; for the start the clock stands "
        "beside.",
        "",
        *table(["what", "measured", "over"], lines),
        "### Many times the rules",
        "",
        "Copies of every page under new names in one rule base. *More topics*: each copy brings its own topics. *More "
        "causes*: the copied causes join the topics that are there. The first answers of one haze consultation.",
        "",
        *speed.grown_lines(sizes, want.patience),
        "### Another machine on the same rules",
        "",
        f"One run from nothing on the answers of a worked case, without weighing; the mean of {other.cases} cases. "
        "The network is built for each case, the others once.",
        "",
        *speed.machine_lines(other),
    ]


if __name__ == "__main__":
    main(sys.argv[1:])
