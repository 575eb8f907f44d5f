"""What many consultations say together: how soon the cause is right, how often at the end, and what helped."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from consultations import OTHERS, Answers, Played, play_ours
from people import Noise, draw_people
from play import UNKNOWN, Rules, Value, shipped, worked_cases
from tables import mean, median, share, table

TRUE = "every answer true"
OURS = "ours"
CASES = "worked cases"

NOISES: Mapping[str, Noise] = {
    TRUE: Noise(),
    "5 % wrong": Noise(wrong=0.05),
    "10 % wrong": Noise(wrong=0.10),
    "20 % wrong": Noise(wrong=0.20),
    "10 % one answer beside": Noise(slip=0.10),
    "30 % missing": Noise(missing=0.30),
}
"""How people answer. Missing is half as often again where an answer takes a test."""


@dataclass(frozen=True)
class Job:
    """One consultation to be played."""

    way: str
    noise: str
    topic: str
    number: int
    seed: int


def people_jobs(topics: Sequence[str], count: int, seed: int) -> list[Job]:
    """Ours with every noise; the other ways with true answers."""
    ways = [(OURS, noise) for noise in NOISES] + [(way, TRUE) for way in OTHERS]
    return [
        Job(way, noise, topic, number, seed)
        for number in range(count)
        for way, noise in ways
        for topic in topics
    ]


def case_jobs(rules: Rules, every: int) -> list[Job]:
    """Every so-manyth worked case, played by somebody who knows only what stands in it."""
    cases = worked_cases(rules)
    return [Job(OURS, CASES, "", number, 0) for number in range(0, len(cases), every)]


def judge_case(number: int) -> int:
    """The place of the cause that a worked case expects first, judged on all its answers at once."""
    case = worked_cases(shipped())[number]
    order = [cause for cause, _ in shipped().judged(case.topic, case.answers)[0]]
    return order.index(case.first_cause)


@dataclass(frozen=True)
class FromCase:
    """The person of a worked case: knows what stands in it, and nothing else."""

    topic: str
    truth: tuple[str, ...]
    answers: Mapping[str, Value]

    def says(self, name: str) -> Value | None:
        """What stands in the case."""
        return self.answers.get(name)


def play_job(job: Job) -> tuple[Job, Played | None]:
    """Play one consultation, in whatever process."""
    rules = shipped()
    person: Answers
    if job.noise == CASES:
        case = worked_cases(rules)[job.number]
        person = FromCase(case.topic, (case.first_cause,), case.answers)
    else:
        drawn = draw_people(rules, job.topic, job.number + 1, job.seed)[job.number]
        person = drawn.with_noise(NOISES[job.noise])
    return job, play_ours(rules, person) if job.way == OURS else OTHERS[job.way](rules, person)


Results = Sequence[tuple[Job, Played]]


def of(results: Results, way: str, noise: str) -> list[Played]:
    """The consultations of one way and one noise."""
    return [played for job, played in results if (job.way, job.noise) == (way, noise)]


# ---------------------------------------------------------------- how soon


def how_soon(results: Results) -> list[str]:
    """Questions and minutes until the first cause is right and stays right, by way of asking."""
    lines = []
    for way in (OURS, *OTHERS):
        plays = of(results, way, TRUE)
        reached = [play for play in plays if play.right]
        questions = [_or_never(play.until_right) for play in plays]
        minutes = [_or_never(play.minutes_until_right) for play in plays]
        lines.append(
            [
                way,
                len(plays),
                share(len(reached), len(plays)),
                mean([play.until_right or 0 for play in reached]),
                median(questions),
                mean([play.minutes_until_right or 0.0 for play in reached]),
                median(minutes),
                mean([play.asked for play in plays]),
            ]
        )
    head = ["way of asking", "people", "right in the end", "questions, mean", "median"]
    return [
        "Until a true cause stands first and stays there. Means are over those who get there; medians count the others "
        "as never. Minutes are work, with waiting counted in part, and a test counts once.",
        "",
        *table([*head, "minutes, mean", "median", "asked in all"], lines),
    ]


def _or_never(value: float | None) -> float:
    return math.inf if value is None else value


def ratios_to(results: Results, way: str) -> dict[str, float | None]:
    """Ours over another way, in questions and minutes, over the people whom both get right."""
    pairs: dict[tuple[str, int], dict[str, Played]] = defaultdict(dict)
    for job, played in results:
        if job.noise == TRUE:
            pairs[job.topic, job.number][job.way] = played
    both = [(pair[OURS], pair[way]) for pair in pairs.values() if OURS in pair and way in pair]
    both = [(ours, other) for ours, other in both if ours.right and other.right]
    return {
        "people": len(both),
        "questions": _over([(a.until_right or 0, b.until_right or 0) for a, b in both]),
        "minutes": _over([(a.minutes_until_right or 0.0, b.minutes_until_right or 0.0) for a, b in both]),
    }


def _over(pairs: Sequence[tuple[float, float]]) -> float | None:
    below = math.fsum(other for _, other in pairs)
    return math.fsum(ours for ours, _ in pairs) / below if below else None


def ratio_lines(results: Results) -> list[str]:
    """Ours over each other way."""
    lines = []
    for way in OTHERS:
        found = ratios_to(results, way)
        figures = [found["questions"], found["minutes"]]
        lines.append(
            [way, found["people"], *("-" if figure is None else f"{figure:.2f}" for figure in figures)]
        )
    return table(["ours over", "people whom both get right", "questions", "minutes"], lines)


# ---------------------------------------------------------------- how often right


def how_often(results: Results) -> list[str]:
    """First-cause and first-three accuracy at the end of the asking."""
    lines = []
    for noise in (*NOISES, CASES):
        plays = of(results, OURS, noise)
        if plays:
            lines.append([noise, *_accuracy(plays)])
    head = ["answers", "consultations", "a true cause first", "a true cause in the first three"]
    return table([*head, "first at least once on the way", "questions asked, mean"], lines)


def _accuracy(plays: Sequence[Played]) -> list[object]:
    total = len(plays)
    return [
        total,
        share(sum(play.right for play in plays), total),
        share(sum(play.steps[-1].rank < 3 for play in plays), total),
        share(sum(any(step.rank == 0 for step in play.steps) for play in plays), total),
        mean([play.asked for play in plays]),
    ]


def by_truth(results: Results) -> list[str]:
    """Accuracy with true answers, by how many causes are at work and by topic."""
    plays = of(results, OURS, TRUE)
    groups: dict[str, list[Played]] = defaultdict(list)
    for play in plays:
        groups[f"{len(play.truth)} at work" if UNKNOWN not in play.truth else "unknown at work"].append(play)
    for play in plays:
        groups[f"topic {play.topic}"].append(play)
    head = ["every answer true", "consultations", "a true cause first", "a true cause in the first three"]
    lines = [[name, *_accuracy(found)] for name, found in sorted(groups.items())]
    return table([*head, "first at least once on the way", "questions asked, mean"], lines)


def share_of_sets(rules: Rules) -> str:
    """How many causes are at work at once by the priors, averaged over the topics."""
    sizes = [0.0, 0.0, 0.0]
    for topic in rules.topics:
        for causes, chance in rules.sets(topic):
            sizes[len(causes) - 1] += chance / len(rules.topics)
    one, two, three = (f"{100 * size:.0f} %" for size in sizes)
    return f"By the priors {one} of people have one cause at work, {two} have two and {three} have three."


# ---------------------------------------------------------------- what helped


def what_helped(results: Results) -> list[str]:
    """Questions chosen for what they tell: bits expected and bits told; the worst first."""
    told: dict[str, list[tuple[float, float, bool]]] = defaultdict(list)
    missing: dict[str, int] = defaultdict(int)
    for job, played in results:
        if job.way != OURS or job.noise != TRUE:
            continue
        for before, step in zip(played.steps, played.steps[1:], strict=False):
            if step.expected is None:
                continue
            bits = math.log2(max(step.of_truth, 1e-9) / max(before.of_truth, 1e-9))
            told[step.question].append((step.expected, bits, before.first != step.first))
            missing[step.question] += not step.known
    often = {name: found for name, found in told.items() if len(found) >= 3}
    ordered = sorted(often, key=lambda name: statistics.fmean(bits for _, bits, _ in often[name]))
    lines = [
        [
            f"`{name}`",
            len(often[name]),
            f"{statistics.fmean(expected for expected, _, _ in often[name]):.2f}",
            f"{statistics.fmean(bits for _, bits, _ in often[name]):+.2f}",
            share(sum(moved for _, _, moved in often[name]), len(often[name])),
        ]
        for name in ordered[:12]
    ]
    every = [item for found in told.values() for item in found]
    if not every:
        return []
    expected = statistics.fmean(item[0] for item in every)
    bits = statistics.fmean(item[1] for item in every)
    after = [played.asked - (played.until_right or 0) for played in of(results, OURS, TRUE) if played.right]
    lowered = 100 * sum(item[1] < 0 for item in every) / len(every)
    return [
        f"Over {len(every)} questions chosen for what they tell, {expected:.2f} bits were expected on average; the "
        f"chance of the likeliest true cause rose by {bits:+.2f} bits. {lowered:.0f} % of them lowered it. "
        f"{mean(after)} questions on average were asked after the first cause was right for good.",
        "",
        "The dozen that told least, of those asked three times or more:",
        "",
        *table(["question", "asked", "bits expected", "bits told", "another cause came first"], lines),
    ]
