"""How a consultation begins: what brings the person here."""

from __future__ import annotations

from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.console import Page

from .form import Field, fill_in
from .lines import Lines


def ask_topic(page: Page, lines: Lines, base: RuleBase) -> str:
    """The topic that a person's complaint belongs to. Asks only where there is a choice. Raises Stopped."""
    topics = [*base.topics.values()]
    if len(topics) == 1:
        return topics[0].topic

    def read(typed: str) -> str:
        return _topic_meant(typed, topics)

    page.head("What brings you here?")
    for number, topic in enumerate(topics, 1):
        page.item(f"{number}", topic.complaint)
    field = Field(
        "topic",
        "Which one comes nearest? Its number is enough.",
        "Take what troubles you most, or what you saw first. If it was the wrong one, begin again; nothing is lost.",
        "The questions that follow are different for each.",
        read,
    )
    return str(fill_in(page, lines, [field])["topic"])


def _topic_meant(typed: str, topics: list[Topic]) -> str:
    wanted = typed.strip().casefold()
    if wanted.isdigit() and 1 <= int(wanted) <= len(topics):
        return topics[int(wanted) - 1].topic
    found = [
        topic
        for topic in topics
        if wanted and (wanted == topic.topic or topic.name.casefold().startswith(wanted))
    ]
    if len(found) == 1:
        return found[0].topic
    names = ", ".join(topic.topic for topic in topics)
    raise NotAnAnswer(
        f"'{typed[:40]}' is none of them. Type a number from 1 to {len(topics)}, or one of: {names}."
    )
