"""What a report holds: plain values in the words a person reads, with the numbers of their sources."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.logbook.told import LogTold

from .drawing import Drawing
from .timeline import Timeline

Refs = tuple[int, ...]
"""Numbers of sources in the list at the end."""


@dataclass(frozen=True)
class Sentence:
    """A reason and where it is from."""

    says: str
    refs: Refs


@dataclass(frozen=True)
class Finding:
    """A question, what was answered, and the day; without one where the case has no dates."""

    question: str
    answer: str
    day: str


@dataclass(frozen=True)
class Spoken:
    """A finding that spoke about a cause: how strongly, why, and the steps from the answers to it."""

    finding: str
    strength: str
    marks: str
    because: Sentence
    behind: tuple[Sentence, ...]


@dataclass(frozen=True)
class CauseTold:
    """A cause: how it stands in a word and a figure, and what spoke for and against it."""

    name: str
    word: str
    chance: str
    common: str
    summary: str
    speaks_for: tuple[Spoken, ...]
    speaks_against: tuple[Spoken, ...]
    repeats: tuple[str, ...]
    confirmed_by: tuple[str, ...]
    would_confirm: tuple[str, ...]
    nobody_looked: tuple[str, ...]


@dataclass(frozen=True)
class Trouble:
    """A kind of trouble with its causes, most likely first; `told` are those worth a closer look."""

    name: str
    brought: bool
    verdict: str
    advice: tuple[str, ...]
    ranked: tuple[tuple[str, str, str], ...]
    """Every cause listed: its name, the word for it, its chance."""
    told: tuple[CauseTold, ...]
    left_out: int
    """How many unlikely causes are not listed."""


@dataclass(frozen=True)
class Change:
    """An answer still open that would put another cause first, and what it costs to find out."""

    question: str
    answer: str
    cause: str
    cost: str


@dataclass(frozen=True)
class CautionTold:
    """What can hurt, and whom: a person, the wine, or the law."""

    label: str
    says: str


@dataclass(frozen=True)
class StepTold:
    """A step with its cautions."""

    do: str
    cautions: tuple[CautionTold, ...]
    done: bool = False


@dataclass(frozen=True)
class TestTold:
    """A test as a sheet to work from."""

    name: str
    time: str
    laboratory: bool
    purpose: str
    why: tuple[Sentence, ...]
    equipment: tuple[str, ...]
    steps: tuple[StepTold, ...]
    cautions: tuple[CautionTold, ...]
    """Those that stand at no step."""
    reading: tuple[str, ...]
    pitfalls: tuple[str, ...]
    refs: Refs


@dataclass(frozen=True)
class DoseTold:
    """How much, how that is found, and the limits on it."""

    says: str
    usual: str
    limits: tuple[str, ...]
    trial: str
    """What the bench trial is to find; empty without one."""
    refs: Refs


@dataclass(frozen=True)
class FixTold:
    """A fix as a sheet to work from."""

    name: str
    does: str
    professional: bool
    can_be_undone: bool
    why: tuple[Sentence, ...]
    after: tuple[Sentence, ...]
    dose: DoseTold | None
    amounts: tuple[tuple[str, str], ...]
    prepare: tuple[str, ...]
    steps: tuple[StepTold, ...]
    cautions: tuple[CautionTold, ...]
    """Those that stand at no step."""
    check: str
    good: str
    if_not: str
    if_it_fails: str
    refs: Refs


@dataclass(frozen=True)
class Named:
    """A test or fix named with its reasons, without its steps."""

    name: str
    reasons: tuple[Sentence, ...]
    note: str = ""


@dataclass(frozen=True)
class DayTold:
    """A line of the days of a plan."""

    what: str
    begins: str
    look: str


@dataclass(frozen=True)
class PlannedTold:
    """A step of the plan: the sheet to work from, when, what breaks it, and the wine after it."""

    fix: FixTold
    when: str
    warnings: tuple[Sentence, ...]
    then: tuple[str, ...]


@dataclass(frozen=True)
class PlanTold:
    """The whole plan of a case."""

    begins: str
    ready: tuple[str, ...]
    days: tuple[DayTold, ...]
    drawing: Timeline | None
    steps: tuple[PlannedTold, ...]
    heads: tuple[str, ...]
    """Now, and after each step."""
    numbers: tuple[tuple[str, tuple[str, ...]], ...]
    """The followed numbers of the wine, each with a cell for each of `heads`."""
    left_out: tuple[Named, ...]


@dataclass(frozen=True)
class WorkEvent:
    """Something recorded of a fix: the day, what, what really went in, and the remark."""

    day: str
    what: str
    added: str
    remark: str


@dataclass(frozen=True)
class WorkTold:
    """A fix that was done or begun, and how it stands."""

    name: str
    stands: str
    events: tuple[WorkEvent, ...]


@dataclass(frozen=True)
class EndTold:
    """How a case ended; empty where nothing was said."""

    day: str
    how: str
    causes: tuple[str, ...]
    fix: str
    lesson: str


@dataclass(frozen=True)
class GateTold:
    """A gate: how it stands, why, and how to find out."""

    name: str
    stands: str
    because: tuple[str, ...]
    find_out: tuple[str, ...]


@dataclass(frozen=True)
class GatesTold:
    """All gates of a kind and what they come to."""

    name: str
    verdict: str
    because: tuple[str, ...]
    each: tuple[GateTold, ...]


@dataclass(frozen=True)
class Jar:
    """A jar as it was read; a dash where it was not."""

    name: str
    dose: str
    read: tuple[str, ...]
    notes: str


@dataclass(frozen=True)
class TrialTold:
    """A bench trial that was read. `outcome` is empty where the file holds none that is known."""

    name: str
    day: str
    outcome: str
    dose_in: str
    heads: tuple[str, ...]
    """What was read, in the order of each jar."""
    jars: tuple[Jar, ...]
    drawings: tuple[Drawing, ...]


@dataclass(frozen=True)
class SourceTold:
    """A source in the list at the end. `link` is empty unless it leads to the web."""

    number: int
    words: str
    seen: str
    link: str


@dataclass(frozen=True)
class Report:
    """A whole report."""

    title: str
    case: str
    made: str
    rule_base: str
    begun_with: str
    """The rules the case was begun with, where they are others than those that judged."""
    invented: bool
    story: str
    brought: tuple[str, ...]
    remarks: tuple[tuple[str, str], ...]
    """What was noted on the way: the day, and the words."""
    ended: EndTold | None
    work: tuple[WorkTold, ...]
    findings: tuple[Finding, ...]
    doubtful: tuple[str, ...]
    """Answers that do not fit together, or contradict each other."""
    mind: tuple[CautionTold, ...]
    """What can hurt somebody with the wine as it stands."""
    troubles: tuple[Trouble, ...]
    changes: tuple[Change, ...]
    not_known: tuple[str, ...]
    put_off: tuple[str, ...]
    tests: tuple[TestTold, ...]
    more_tests: tuple[Named, ...]
    nothing_yet: str
    """Why the plan is empty; empty if it is not."""
    plan: PlanTold
    locked: tuple[Named, ...]
    others: tuple[Named, ...]
    forbidden: tuple[Named, ...]
    other_cautions: tuple[CautionTold, ...]
    """Cautions of the judgement that stand nowhere else on the page."""
    log: LogTold | None
    """Only where something was read."""
    log_drawings: tuple[Drawing, ...]
    trials: tuple[TrialTold, ...]
    gates: tuple[GatesTold, ...]
    sources: tuple[SourceTold, ...]


@dataclass(frozen=True)
class CurveSheet:
    """The drawings of a log, one below the other."""

    title: str
    drawings: tuple[Drawing, ...]
    done: tuple[str, ...]
    """What the numbers in them stand for."""


@dataclass(frozen=True)
class TrialSheet:
    """A bench trial to set up and read, with blanks."""

    title: str
    case: str
    made: str
    rule_base: str
    notes: tuple[str, ...]
    says: str
    stock: tuple[str, ...]
    heads: tuple[str, ...]
    to_read: tuple[str, ...]
    """Columns left blank for the readings."""
    jars: tuple[tuple[str, ...], ...]
    needed: str
    warnings: tuple[str, ...]
    then: tuple[str, ...]
    judge_by: tuple[str, ...]
    dose_in: str
    cautions: tuple[CautionTold, ...]
    heat_test: TestTold | None
    blend: bool = False
    """Another wine is poured into the jars, and no stock is made."""


@dataclass(frozen=True)
class FixSheet:
    """A treatment to work through, with boxes to tick and blanks."""

    title: str
    case: str
    made: str
    rule_base: str
    notes: tuple[str, ...]
    work: WorkTold | None
    fix: FixTold
