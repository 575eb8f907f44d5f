"""Rows of evidence, tests and fixes read as cards and accepted, mended or remarked upon, one at a time.

What is said of a card is on the disk before the next is shown, so there is nothing to lose at `stop`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from diagnose.drafting.edit import CannotEdit, with_value
from diagnose.drafting.written import in_line
from diagnose.interview.form import Field, Stopped, fill_in
from diagnose.interview.lines import ASKING
from diagnose.knowledge.load import path_to
from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import Path_
from diagnose.present.cards import show_card, strength_choices
from diagnose.present.words import answer_words
from diagnose.review.standing import Card, cards

from .asking import choice, words, yes_no
from .desk import Desk

KEYS = "accept, strength, comment, skip, back, stop; ? for what they do"
HELP = (
    ("accept", "You stand behind it: your initials, the day and what it says now are written beside it."),
    (
        "strength",
        "It speaks more or less strongly. What that changes in the worked cases is shown before it is kept.",
    ),
    ("comment", "Something is to be said of it. It stays a draft, with your remark."),
    ("skip", "The next one; nothing is written."),
    ("back", "The one before."),
    ("stop", "Leave. What you said of the others is kept."),
)


@dataclass
class Reviewing:
    """A walk through the cards that nobody stands behind yet."""

    desk: Desk
    by: str
    on: date
    walk: Sequence[tuple[str, str, int | None]]
    """The cards to walk through, by kind, page and row: they are read anew, since a page may change meanwhile."""
    accepted: int = field(default=0)

    def run(self) -> None:
        """Show one card after the other. Raises Stopped."""
        at = 0
        while at < len(self.walk):
            at += self._one(at)

    def _one(self, at: int) -> int:
        """Show a card and do what is said; how many cards to go on."""
        page = self.desk.page
        card = card_of(self.desk.base, self.walk[at])
        if card is None:
            page.warn(
                f"{self.walk[at][1]} was changed by somebody else meanwhile, and this is no longer there."
            )
            return 1
        show_card(page, self.desk.base, card, at + 1, len(self.walk))
        page.aside(KEYS)
        while True:
            typed = self.desk.lines.read(ASKING)
            if typed is None:
                raise Stopped(ended=True)
            word = typed.strip().lower()
            if word in ("stop", "quit", "exit"):
                raise Stopped
            if word in ("skip", ""):
                return 1
            if word == "back":
                return -1 if at else 0
            if word in ("?", "help", "why"):
                for key, says in HELP:
                    page.item("-", f"{key}: {says}")
            elif word == "accept":
                return self._written(card, {}, "reviewed")
            elif word == "comment":
                return self._comment(card)
            elif word == "strength":
                return self._strength(card)
            else:
                page.warn(f"'{word[:40]}' is not a key here. Type one of: {KEYS}.")

    def _comment(self, card: Card) -> int:
        ask = "What is to be said of it?"
        said = fill_in(self.desk.page, self.desk.lines, [words("remark", ask, "It is kept beside the row.")])
        return self._written(card, {}, "draft", said["remark"])

    def _strength(self, card: Card) -> int:
        page, row = self.desk.page, card.item
        if not isinstance(row, EvidenceRow):
            page.warn("Only a row of evidence has a strength. Say it as a comment.")
            return 0
        changes = self._asked_strength(row)
        try:
            after = self.desk.with_texts(self._texts(card, changes)[0])
        except (RuleFilesWrong, CannotEdit) as wrong:
            page.warn(f"This cannot be written: {wrong}")
            return 0
        self.desk.show_preview(after)
        ask = "Keep this strength, and stand behind the row?"
        if (
            fill_in(page, self.desk.lines, [yes_no("keep", ask, "Otherwise all stays as it was.")])["keep"]
            == "no"
        ):
            page.say("Nothing is changed.")
            return 0
        return self._written(card, changes, "reviewed")

    def _asked_strength(self, row: EvidenceRow) -> dict[tuple[Path_, str], str]:
        """Where in the row another strength stands, and which."""
        strengths = strength_choices(self.desk.base)
        how = "How many times more often this is met with this cause than without any known cause."
        fields: list[Field] = []
        if row.observe is None:
            answer = None
        elif len(row.says) == 1:
            answer = next(iter(row.says))
        else:
            said = {word: answer_words(self.desk.base, row.observe, word) for word in row.says}
            ask = choice("answer", "Which answer?", said, "The answer whose strength is to change.")
            answer = fill_in(self.desk.page, self.desk.lines, [ask])["answer"]
        fields.append(choice("strength", "How strongly does it speak?", strengths, how))
        word = fill_in(self.desk.page, self.desk.lines, fields)["strength"]
        return {(("says",), answer) if answer else ((), "weight"): word}

    def _written(
        self, card: Card, changes: Mapping[tuple[Path_, str], str], status: str, remark: str = ""
    ) -> int:
        """Write what was said of a card beside it; one card on where that could be kept."""
        try:
            changed, before = self._texts(card, changes)
            of = self._print(card, changed) if changes else card.print
            texts = self._reviewed(card, changed, status, of, remark)
            self.desk.keep(texts, before, self.desk.with_texts(texts))
        except (RuleFilesWrong, CannotEdit) as wrong:
            self.desk.page.warn(f"This cannot be written, and the file stays as it was: {wrong}")
            return 1
        self.accepted += status == "reviewed"
        self.desk.page.say("Kept.")
        return 1

    def _texts(
        self, card: Card, changes: Mapping[tuple[Path_, str], str]
    ) -> tuple[dict[Path, str], dict[Path, str]]:
        """The file of a card with the changes in it, and as it is.

        Raises CannotEdit where the card no longer reads as it was shown: nobody stands behind what they have not read.
        """
        now = card_of(self.desk.with_texts({}), (card.kind, card.page, card.row))
        if now is None or now.print != card.print:
            raise CannotEdit(
                "somebody else changed it meanwhile. Stop and begin again, to see it as it is now."
            )
        file = Path(now.place.file)
        before = self.desk.text_of(file)
        text, path = before, self._path(card, before)
        for (inner, key), word in changes.items():
            text = with_value(text, (*path, *inner), key, word)
        return {file: text}, {file: before}

    def _path(self, card: Card, text: str) -> Path_:
        path = path_to(text, card.kind, card.page, card.place.file)
        return path if card.row is None else (*path, "evidence", card.row)

    def _print(self, card: Card, texts: Mapping[Path, str]) -> str:
        """The print of the row as it will be read."""
        changed = card_of(self.desk.with_texts(texts), (card.kind, card.page, card.row))
        assert changed is not None
        return changed.print

    def _reviewed(
        self, card: Card, texts: Mapping[Path, str], status: str, of: str, remark: str
    ) -> dict[Path, str]:
        """The changed file with the review beside the card."""
        ((file, text),) = texts.items()
        review = {"status": status, "by": self.by, "on": self.on.isoformat()}
        review |= {"of": of} if status == "reviewed" else {}
        review |= {"remark": remark} if remark else {}
        # Eight figures would be read as a number, so the print stands in quotes.
        written = ", ".join(
            f'{key}: "{value}"' if key == "of" else f"{key}: {in_line(value)}"
            for key, value in review.items()
        )
        return {file: with_value(text, self._path(card, text), "review", f"{{{written}}}")}


def card_of(base: RuleBase, named: tuple[str, str, int | None]) -> Card | None:
    """The card of a page, or of a row of it; None where it is gone."""
    return next((card for card in cards(base) if (card.kind, card.page, card.row) == named), None)
