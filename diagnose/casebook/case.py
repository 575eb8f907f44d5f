"""A case in memory: events replayed to answers, skips and things put off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from pydantic import ValidationError

from diagnose.bounds import MOST_TOLD
from diagnose.engine.facts import Fact, Value
from diagnose.knowledge.complaints import model_problems
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.problems import Place, Problem, RuleFilesWrong, nearest
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import Document, Path_
from diagnose.series.answers import LogAnswer, answers_from
from diagnose.series.log import Deed, Log, Reading, in_order, moment_of

from .answers import NotAnAnswer, Units, read_answer
from .models import (
    ABOUT_A_FIX,
    ABOUT_A_QUESTION,
    CASE_FORMAT,
    CaseFile,
    CheckedWork,
    DoneWork,
    Event,
    PlannedTrial,
    Written,
)
from .work import DONE, Work, work_done


@dataclass
class CaseState:
    """Where a case stands: `order` holds the questions met, oldest first, for going back."""

    answers: dict[str, Value] = field(default_factory=dict)
    skipped: set[str] = field(default_factory=set)
    put_off: set[str] = field(default_factory=set)
    order: list[str] = field(default_factory=list)
    trials: list[Event] = field(default_factory=list)
    readings: list[Event] = field(default_factory=list)
    """Events `read`, as kept: their moments need not be in order."""
    work: list[Event] = field(default_factory=list)
    """Events `done` and `checked`, as kept."""
    steps_of: Mapping[str, int] = field(default_factory=dict)
    """How many steps each fix has, so that the last one done by itself ends it."""
    notes: list[Event] = field(default_factory=list)
    shown: Mapping[str, str] = field(default_factory=dict)
    """The first cause of each trouble when the result was last shown."""
    closed: Event | None = None
    """How the case ended, while it is closed."""
    set_aside: list[str] = field(default_factory=list)
    """What was kept under another edition of the rules and means nothing in this one, each as a sentence."""
    answered_on: dict[str, str] = field(default_factory=dict)
    """The day of each answer of the person, as its event holds it."""
    base: RuleBase | None = field(default=None, repr=False, compare=False)
    """The pages that say what the log answers; without them it answers nothing."""
    _answered_by_log: tuple[tuple[int, int, int], Mapping[str, LogAnswer]] | None = field(
        default=None, repr=False, compare=False
    )

    def facts(self) -> tuple[Fact, ...]:
        """What the person and the log answer, as facts, and how each fix that was done stands."""
        answers = [Fact(name, value) for name, value in sorted(self.known.items())]
        return (*answers, *(Fact(DONE + name, work.stands) for name, work in sorted(self.done().items())))

    @property
    def log(self) -> Log:
        """The readings in order, with what was done beside them."""
        names = dict.fromkeys(event.about or "" for event in self.readings)
        series = {
            name: in_order(_read(event) for event in self.readings if event.about == name) for name in names
        }
        done = [
            Deed(moment_of(event.at), fix=event.about or "") for event in self.work if event.did == "done"
        ]
        said = [Deed(moment_of(event.at), words=remark_of(event)) for event in self.notes]
        return Log(series, tuple(sorted((*done, *said), key=lambda deed: deed.moment.at)))

    @property
    def from_log(self) -> Mapping[str, LogAnswer]:
        """The answers that count because the log gives them: newer than the person's own, or the only ones."""
        if not self.readings or self.base is None:
            return {}
        held = (len(self.readings), len(self.work), len(self.notes))
        if self._answered_by_log is None or self._answered_by_log[0] != held:
            self._answered_by_log = held, answers_from(self.base, self.log)
        return {
            name: answer
            for name, answer in self._answered_by_log[1].items()
            if name not in self.answers or answer.day.isoformat() > self.answered_on.get(name, "")[:10]
        }

    @property
    def known(self) -> Mapping[str, Value]:
        """Every answer that counts, the person's own or that of the log."""
        return {**self.answers, **{name: answer.value for name, answer in self.from_log.items()}}

    @property
    def read_on(self) -> Mapping[str, date]:
        """The day of each answer that counts and has one."""
        told = {name: date.fromisoformat(at[:10]) for name, at in self.answered_on.items()}
        return {**told, **{name: answer.day for name, answer in self.from_log.items()}}

    def done(self) -> dict[str, Work]:
        """Each fix that was done or begun, as it stands."""
        return work_done(self.work, self.steps_of)

    def _met(self, name: str) -> None:
        self.answers.pop(name, None)
        self.answered_on.pop(name, None)
        self.skipped.discard(name)
        self.put_off.discard(name)
        if name in self.order:
            self.order.remove(name)
        self.order.append(name)

    def apply(self, event: Event, value: Value | None = None) -> None:
        """Take one event into account. `value` is the checked answer of an `answered` event."""
        name = event.about or ""
        if event.did == "answered":
            assert value is not None
            self._met(name)
            self.answers[name] = value
            self.answered_on[name] = event.at
        elif event.did == "skipped":
            self._met(name)
            self.skipped.add(name)
        elif event.did == "put_off":
            self._met(name)
            self.put_off.add(name)
        elif event.did == "took_back":
            self._met(name)
            self.order.remove(name)
        elif event.did.startswith("trial") or event.did == "dose_chosen":
            self.trials.append(event)
        elif event.did == "read":
            # Kept in the unit of the rules, in whatever unit a person wrote it into the file.
            self.readings.append(event if value is None else event.model_copy(update={"value": value}))
        elif event.did in ABOUT_A_FIX:
            self.work.append(event)
        elif event.did == "noted":
            self.notes.append(event)
        elif event.did == "shown":
            self.shown = causes_in(event)
        else:
            # Closed, or opened again.
            self.closed = event if event.did == "closed" else None


def _read(event: Event) -> Reading:
    assert isinstance(event.value, float)
    return Reading(moment_of(event.at), event.value)


def remark_of(event: Event) -> str:
    """What was noted, in whatever words."""
    return "; ".join(str(value) for value in (event.value, *event.data.values()) if value is not None)


def _on_a_calendar(written: str) -> bool:
    try:
        moment_of(written)
    except ValueError:
        return False
    return True


def causes_in(event: Event) -> dict[str, str]:
    """The cause of each trouble that an event `shown` or `closed` names in its `data`."""
    causes = event.data.get("causes")
    return {str(topic): str(cause) for topic, cause in causes.items()} if isinstance(causes, Mapping) else {}


def read_case(document: Document, base: RuleBase) -> tuple[CaseFile, CaseState]:
    """A case file checked against the rule base.

    Raises RuleFilesWrong with every mistake in the file, up to as many as are told.
    """
    value = document.value
    if not isinstance(value, Mapping):
        what = "this is not a case file; it must be a mapping that begins with `case:`."
        raise RuleFilesWrong(
            [document.problem(document.place(()), what, "See docs for an example of a case.")]
        )
    its_format = value.get("case_format")
    if isinstance(its_format, int) and its_format > CASE_FORMAT:
        what = (
            f"this case was written by a newer version (format {its_format}; this one reads {CASE_FORMAT})."
        )
        mend = "Open it with the newer version. Nothing in it was changed."
        raise RuleFilesWrong([document.problem(document.place(("case_format",)), what, mend)])
    try:
        case = CaseFile.model_validate(value)
    except ValidationError as error:
        raise RuleFilesWrong(model_problems(error, document, (), CaseFile)) from error
    problems: list[Problem] = []
    places: list[Path_] = [("topic",), *(("also", at) for at in range(len(case.also)))]
    for where, topic in zip(places, (case.topic, *case.also[:MOST_TOLD]), strict=False):
        if topic not in base.topics:
            what = f"'{topic}' is not a known topic."
            problems.append(document.problem(document.place(where), what, nearest(topic, base.topics)))
    state = CaseState(base=base, steps_of={name: len(fix.steps) for name, fix in base.fixes.items()})
    for name, written in case.facts.items():
        if len(problems) >= MOST_TOLD:
            break
        answer = _checked(document, ("facts", name), name, written, case.units, base, problems)
        if answer is not None:
            state.apply(Event(at="1970-01-01", did="answered", about=name, value=written), answer)
    for index, name in enumerate(case.skipped[:MOST_TOLD]):
        _known(document, document.place(("skipped", index)), name, base, problems)
        state.skipped.add(name)
    # What other rules asked for is no mistake of the person: it stays in the file, and does not count here.
    other_rules = case.rule_base is not None and case.rule_base != base.edition
    for index, event in enumerate(case.events):
        if len(problems) >= MOST_TOLD:
            break
        if not _on_a_calendar(event.at):
            what = f"'{event.at[:40]}' is no day of the calendar."
            mend = "Write a day that exists, such as 2026-10-12."
            problems.append(document.problem(document.place(("events", index, "at")), what, mend))
            continue
        wrong: list[Problem] = []
        answer = _meant(document, index, event, case.units, base, wrong)
        if not wrong:
            state.apply(event, answer)
        elif other_rules:
            state.set_aside += (problem.what for problem in wrong)
        else:
            problems += wrong
    if problems:
        raise RuleFilesWrong(problems)
    return case, state


def _meant(
    document: Document, index: int, event: Event, units: Units, base: RuleBase, wrong: list[Problem]
) -> Value | None:
    """The checked answer or reading of an event, if it has one; what is wrong with the event goes into `wrong`."""
    if event.did == "answered":
        path: Path_ = ("events", index, "value")
        assert event.about is not None and event.value is not None
        return _checked(document, path, event.about, event.value, units, base, wrong)
    if event.did in ABOUT_A_QUESTION:
        assert event.about is not None
        _known(document, document.place(("events", index, "about")), event.about, base, wrong)
    elif event.did == "read":
        return _reading(document, index, event, units, base, wrong)
    elif event.did in ABOUT_A_FIX:
        wrong += _work(document, index, event, base)
    elif event.did == "trial_planned":
        wrong += _planned(document, index, event, base)
    return None


def _reading(
    document: Document, index: int, event: Event, units: Units, base: RuleBase, problems: list[Problem]
) -> Value | None:
    """The number of a reading; only what is asked as a number can be read again and again."""
    assert event.about is not None and event.value is not None
    answer = _checked(document, ("events", index, "value"), event.about, event.value, units, base, problems)
    if answer is None or isinstance(answer, float):
        return answer
    numbers = [name for name, page in base.observations.items() if page.kind == "number"]
    what = f"'{event.about}' is not measured as a number."
    mend = nearest(event.about, numbers)
    problems.append(document.problem(document.place(("events", index, "about")), what, mend))
    return None


def _work(document: Document, index: int, event: Event, base: RuleBase) -> list[Problem]:
    """What is wrong with a line about a fix; what was added must be told by the names on its page."""
    fix = base.fixes.get(str(event.about))
    if fix is None:
        what = f"'{event.about}' is not a fix that these rules know."
        mend = nearest(str(event.about), base.fixes)
        return [document.problem(document.place(("events", index, "about")), what, mend)]
    path: Path_ = ("events", index, "data")
    model = DoneWork if event.did == "done" else CheckedWork
    try:
        told = model.model_validate(event.data)
    except ValidationError as error:
        return model_problems(error, document, path, model)
    problems = []
    if isinstance(told, DoneWork):
        for name in told.amounts:
            if name not in fix.amount_quantities:
                what = f"'{name}' is not an amount of '{fix.fix}'."
                place = document.place((*path, "amounts", name), key=True)
                problems.append(document.problem(place, what, nearest(name, fix.amount_quantities)))
        if told.step is not None and told.step > len(fix.steps):
            what = f"'{fix.fix}' has {len(fix.steps)} steps, and no step {told.step}."
            problems.append(document.problem(document.place((*path, "step")), what, "Give a step it has."))
    return problems


def _planned(document: Document, index: int, event: Event, base: RuleBase) -> list[Problem]:
    """What is wrong with a planned trial; one that is not whole could not be set up again."""
    path: Path_ = ("events", index, "data")
    try:
        planned = PlannedTrial.model_validate(event.data)
    except ValidationError as error:
        return model_problems(error, document, path, PlannedTrial)
    ladders = [name for name, fix in base.fixes.items() if fix.trial and fix.trial.kind == "ladder"]
    named: list[tuple[Path_, str]] = [((*path, "fix"), planned.fix)]
    if planned.second is not None:
        named.append(((*path, "second", "fix"), planned.second.fix))
    found = []
    for at, name in named:
        if name not in ladders:
            what = f"'{name}' is not a fix whose dose a ladder finds."
            found.append(document.problem(document.place(at), what, nearest(name, ladders)))
    if planned.second is not None and planned.second.fix == planned.fix:
        what = f"'{planned.fix}' stands twice in one trial."
        found.append(
            document.problem(document.place((*path, "second", "fix")), what, "Name two different fixes.")
        )
    return found


def _known(
    document: Document, place: Place, name: str, base: RuleBase, problems: list[Problem]
) -> Observation | None:
    observation = base.observations.get(name)
    if observation is None:
        what = f"'{name}' is not something these rules ask about."
        problems.append(document.problem(place, what, nearest(name, base.observations)))
    return observation


def _checked(
    document: Document,
    path: Path_,
    name: str,
    written: Written,
    units: Units,
    base: RuleBase,
    problems: list[Problem],
) -> Value | None:
    observation = _known(document, document.place(path, key=True), name, base, problems)
    if observation is None:
        return None
    try:
        return read_answer(observation, written, units)
    except NotAnAnswer as error:
        words = ", ".join(observation.answers)
        mend = f"Known: {words}." if words and observation.kind != "number" else ""
        problems.append(document.problem(document.place(path), str(error), mend))
        return None
