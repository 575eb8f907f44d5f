"""The list of evidence that no text stands behind, cause by cause, with the place of each row."""

from __future__ import annotations

from pathlib import Path

from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.judgements import (
    RestsOn,
    RowWithoutText,
    TopicCount,
    counts,
    counts_by_source,
    rows_without_text,
)

from .console import Page
from .places import folder_of, short_place
from .words import answer_words, condition_words, first_down, observable_name

_RESTS = {
    RestsOn.JUDGEMENT: "No text. It rests on",
    RestsOn.TRADE: "No text. It rests on",
    RestsOn.PARTLY: "A text, and beside it",
}


def show_judgements(page: Page, base: RuleBase) -> None:
    """Every row of evidence that does not rest on texts alone, then how many there are."""
    found = rows_without_text(base)
    folder = folder_of(row.place for causes in found.values() for rows in causes.values() for row in rows)
    page.say(
        "Evidence that does not rest on texts alone. A text stands behind the fact in a row; how strongly the fact "
        "speaks is a judgement in every row, those left out here included."
    )
    if found:
        page.say(f"Places are under {folder}.")
    for topic, causes in found.items():
        page.title(base.topics[topic].name)
        for cause, rows in causes.items():
            total = len(base.causes[cause].evidence)
            page.head(f"{base.causes[cause].name} [{cause}]: {len(rows)} of {total} rows")
            for row in rows:
                _show_row(page, base, row, folder)
    _show_counts(page, base)


def _show_row(page: Page, base: RuleBase, found: RowWithoutText, folder: Path) -> None:
    page.item("-", row_words(base, found.row))
    page.aside(found.row.because, indent=5)
    titles = "; ".join(first_down(base.sources[source].title) for source in found.other_than_texts)
    page.aside(f"{_RESTS[found.rests_on]}: {titles}.", indent=5)
    page.aside(short_place(found.place, folder), indent=5)


def row_words(base: RuleBase, row: EvidenceRow) -> str:
    """What a row of evidence says, as a sentence."""
    if row.when is not None:
        return f"{condition_words(base, row.when)}: {strength_words(str(row.weight))}."
    name = str(row.observe)
    said = [
        f"\u201c{answer_words(base, name, answer)}\u201d {strength_words(word)}"
        for answer, word in row.says.items()
    ]
    return f"{observable_name(base, name)}: {'; '.join(said)}."


def strength_words(word: str) -> str:
    """A strength as it stands in a sentence."""
    said = word.replace("_", " ")
    return f"speaks {said} it" if said.endswith(("for", "against")) else f"{said} it"


def _show_counts(page: Page, base: RuleBase) -> None:
    page.title("How many rows rest on what")
    by_topic = counts(base)
    for topic, count in by_topic.items():
        page.item("-", f"{base.topics[topic].name}: {_count_words(count)}")
    sums = TopicCount(
        sum(count.rows for count in by_topic.values()),
        {kind: sum(count.resting.get(kind, 0) for count in by_topic.values()) for kind in RestsOn},
    )
    page.item("=", f"All: {_count_words(sums)}", style="bold")
    page.blank()
    page.say("What is no text, and how many rows name it, alone or beside a text:")
    for source, rows in counts_by_source(base).items():
        page.item("-", f"{base.sources[source].title} [{source}]: {rows}")


def _count_words(count: TopicCount) -> str:
    kinds = count.resting
    return (
        f"{count.rows} rows; {count.on_texts} on texts alone, {kinds.get(RestsOn.PARTLY, 0)} on a text and "
        f"something beside it, {kinds.get(RestsOn.JUDGEMENT, 0)} on judgement, {kinds.get(RestsOn.TRADE, 0)} on "
        "common practice or memory."
    )
