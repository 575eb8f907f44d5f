"""What was heard in a person's own words is shown back, and only what is confirmed is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer, choices_of, read_answer, show_answer
from diagnose.engine.facts import Value
from diagnose.hearing.hear import Finding, Heard, plain_finding
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.plain_text import spoken
from diagnose.present.console import Page
from diagnose.units import System

from .form import ELSEWHERE, SKIP, STOP, Field, Stopped, fill_in
from .lines import ASKING, Lines
from .session import Consultation, Question

ALL, NONE = {"yes", "y", "all", "ok", "right", "keep"}, {"none", "no", "n", "back", "nothing"}
ENTER = "what was heard"
NOTHING_ELSE = {ENTER, "no", "none", "nothing", "nothing else"}
_HOW = (
    "yes keeps everything in the list. Numbers, such as 2 3, drop those lines and keep the rest. "
    "none drops everything. What is kept is an answer like any other: "
    "back takes it back, and the question can be answered anew."
)
_WHY = "Words can be misread. Nothing counts before you have said that it is so."


@dataclass(frozen=True)
class Confirmed:
    """What a person confirmed of what was heard."""

    topics: tuple[str, ...]
    findings: Mapping[str, Value]


def confirm(page: Page, lines: Lines, base: RuleBase, heard: Heard, units: System) -> Confirmed | None:
    """Show what was heard as a list, and keep what the person leaves in it; None for nothing. Raises Stopped."""
    says = [f"Subject: {base.topics[topic].name}" for topic in heard.topics]
    says += [plain_finding(base, finding, units) for finding in heard.findings]
    show_heard(page, heard.remarks, says)
    out = dropped(page, lines, len(says))
    topics = tuple(topic for at, topic in enumerate(heard.topics, 1) if at not in out)
    first = len(heard.topics) + 1
    kept = [finding for at, finding in enumerate(heard.findings, first) if at not in out]
    if not topics and not kept:
        return None
    return Confirmed(topics, _completed(page, lines, base, kept, units))


def show_heard(page: Page, remarks: Sequence[str], says: Sequence[str]) -> None:
    """The list of what was heard, and what was not taken."""
    page.head("This is what was heard:")
    for number, line in enumerate(says, 1):
        page.item(f"{number}", line)
    for remark in remarks:
        page.aside(remark, indent=2)


def dropped(page: Page, lines: Lines, count: int) -> set[int]:
    """The numbers of the lines that the person drops."""
    page.blank()
    page.say("Is that right? yes keeps all; numbers drop those; none drops everything.", style="bold")
    while True:
        typed = lines.read(ASKING)
        if typed is None:
            raise Stopped(ended=True)
        word = " ".join(typed.lower().split())
        numbers = [int(piece) for piece in re.findall(r"\d{1,3}", word)]
        if word in STOP:
            raise Stopped
        if word in ALL:
            return set()
        if word in NONE or spoken(word) in SKIP:
            return {*range(1, count + 1)}
        if word in ("?", "help", "how"):
            page.say(_HOW, indent=2)
        elif word == "why":
            page.say(_WHY, indent=2)
        elif word in ELSEWHERE:
            page.say(f"'{word}' is not a key here; yes, none, ? and stop are.", indent=2)
        elif (
            numbers
            and re.fullmatch(r"(?:drop |not )?[\d ,;and]+", word)
            and max(numbers) <= count
            and min(numbers)
        ):
            return set(numbers)
        elif word:
            page.say(f"Type yes, none, or numbers from 1 to {count} to drop.", indent=2)


def _completed(
    page: Page, lines: Lines, base: RuleBase, kept: Sequence[Finding], units: System
) -> dict[str, Value]:
    """The answers. Where everything that fits is to be ticked, what was not said is not yet a no: it is asked."""
    answers: dict[str, Value] = {}
    for finding in kept:
        observation = base.observations[finding.observe]
        if isinstance(finding.value, frozenset):
            whole = _all_ticks(page, lines, observation, finding.value, units)
            if whole is not None:
                answers[finding.observe] = whole
        else:
            answers[finding.observe] = finding.value
    return answers


def _all_ticks(
    page: Page, lines: Lines, observation: Observation, heard: frozenset[str], units: System
) -> Value | None:
    choices = list(choices_of(observation).items())
    page.head(observation.ask)
    for number, (_, says) in enumerate(choices, 1):
        page.item(f"{number}", says)
    numbers = ", ".join(str(at) for at, (word, _) in enumerate(choices, 1) if word in heard)

    def read(typed: str) -> Value:
        if typed.strip().lower() in NOTHING_ELSE:
            return heard
        more = read_answer(observation, typed, units)
        assert isinstance(more, frozenset)
        return read_answer(observation, sorted(heard | more), units)

    ask = f"Heard: {numbers}. What else fits? Its numbers, or Enter alone if nothing else does."
    field = Field(
        observation.observe, ask, observation.how, observation.why, read, may_skip=True, usual=ENTER
    )
    value: Value | None = fill_in(page, lines, [field])[observation.observe]
    return value


# ---------------------------------------------------------------- at a question


def kept_by_name(
    page: Page, lines: Lines, consultation: Consultation, question: Question, typed: str
) -> bool:
    """Keep readings or a named answer typed at a question; False if the line is meant for the question itself.

    Readings with their names are kept and said. Those that only their unit or look tells are confirmed first, and so
    is a line that would answer the open question as well. Raises Stopped.
    """
    if not re.search(r"[^\W\d_]", typed) and not re.search(r"\d[,;]?\s+\d", typed):
        return False
    observation, units = question.observation, consultation.units
    base = consultation.cellar.base
    answers_it = _reads(observation, typed, units)
    if answers_it and observation.kind != "number":
        return False
    heard = consultation.ear.note(typed, units)
    others = [one for one in heard.findings if one.observe != observation.observe]
    if answers_it and not (len(others) == 1 == len(heard.findings) and others[0].sure):
        return False
    if not heard.findings and not (heard.remarks and not answers_it and observation.kind != "number"):
        return False
    found = heard.findings
    if answers_it or not all(one.sure for one in found):
        confirmed = confirm(page, lines, base, Heard((), found, heard.remarks), units)
        if confirmed is None:
            page.aside("Nothing of it was kept; the question above is still open.", indent=2)
            return True
        answers = dict(confirmed.findings)
    else:
        answers = {one.observe: one.value for one in found}
        for remark in heard.remarks:
            page.warn(remark)
    if not answers:
        return True
    _keep(page, consultation, found, answers)
    return True


def _keep(
    page: Page, consultation: Consultation, found: Sequence[Finding], answers: Mapping[str, Value]
) -> None:
    before = dict(consultation.record.state.known)
    consultation.add_facts(answers)
    for name in (finding.observe for finding in found if finding.observe in answers):
        observation, old = consultation.cellar.base.observations[name], before.get(name)
        said = show_answer(observation, answers[name], consultation.units)
        was = (
            ""
            if old is None or old == answers[name]
            else f" (was {show_answer(observation, old, consultation.units)})"
        )
        page.aside(f"Kept: {observation.short}: {said}{was}", indent=2)


def _reads(observation: Observation, typed: str, units: System) -> bool:
    try:
        read_answer(observation, typed, units)
    except NotAnAnswer:
        return False
    return True
