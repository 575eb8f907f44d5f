"""What both conversations with a mentor work at: the rules as they are, and with a change tried on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from diagnose.drafting.keep import keep, text_of
from diagnose.interview.lines import Lines
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.console import Page
from diagnose.present.impact import show_impact
from diagnose.review.impact import CaseImpact, Impact, compare
from diagnose.review.trying import Tried, try_case


@dataclass(frozen=True)
class Preview:
    """What a change would do: to all worked cases, and which of them would no longer come out.

    `unread` are those that could not be read before, so that nothing can be said of them.
    """

    impact: Impact
    broken: tuple[Tried, ...]
    unread: tuple[str, ...]


@dataclass
class Desk:
    """The rules in their folders, the worked cases to hold a change against, and where to write and read."""

    page: Page
    lines: Lines
    folders: RuleFolders
    worked: Sequence[Path]
    base: RuleBase
    _before: dict[Path, Tried] = field(default_factory=dict)

    def with_texts(self, texts: Mapping[Path, str]) -> RuleBase:
        """The rules as they would be. Raises RuleFilesWrong with every mistake."""
        return read_rule_base(self.folders.below, self.folders.own, texts)

    def text_of(self, path: Path) -> str:
        """A file as it is on the disk."""
        return text_of(path)

    def keep(self, texts: Mapping[Path, str], before: Mapping[Path, str], base: RuleBase) -> None:
        """Write the files; `base` are the rules with them. Raises CannotKeep and OSError, and then nothing is kept."""
        keep(texts, before)
        self.base = base
        self._before.clear()

    def preview(self, after: RuleBase) -> Preview:
        """All worked cases judged on the rules as they are and as they would be. Nothing is written."""
        now, then = Cellar(self.base), Cellar(after)
        cases: list[CaseImpact] = []
        broken: list[Tried] = []
        unread: list[str] = []
        for file in self.worked:
            if file not in self._before:
                self._before[file] = try_case(now, file)
            was, tried = self._before[file], try_case(then, file)
            if was.outcome and tried.outcome:
                cases.append(CaseImpact(was.case, compare(self.base, was.outcome, tried.outcome)))
            if was.as_expected and not tried.as_expected:
                broken.append(tried)
            unread += [was.case] if was.wrong else []
        return Preview(Impact(tuple(cases)), tuple(broken), tuple(unread))

    def show_preview(self, after: RuleBase) -> Preview:
        """Judge and tell, what guards less than before first."""
        self.page.aside(f"Judging {len(self.worked)} worked cases before and after the change. A moment.")
        found = self.preview(after)
        show_impact(self.page, self.base, found.impact, found.unread)
        for tried in found.broken:
            self.page.warn(f"{tried.case} would no longer come out as its page expects:")
            for miss in tried.missed:
                self.page.item("-", str(miss), indent=4)
            for wrong in tried.wrong:
                self.page.item("-", wrong, indent=4)
        return found
