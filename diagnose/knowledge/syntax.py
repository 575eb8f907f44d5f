"""What stands behind a file that is not YAML: the parser's complaint, said in the words of a mentor.

A parser names what it expected next; a person wants to know what to change. The complaint, the line it points
at and the line above are enough to tell the common slips apart.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from .problems import Place, Problem, quoted, slip

# What YAML cannot hold as plain text.
_UNPRINTABLE = re.compile(r"[^\t\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|\ufeff")

_KEY_LINE = re.compile(r" *(- +)?([a-z_<>.]+):(?: |$)")
_ENTRY_LINE = re.compile(r" *(- +)(.)")
_BEYOND = 10_000
"""Columns, more than any line is indented by."""

_Pattern = tuple[re.Pattern[str], str, str]

_DASH: _Pattern = (
    re.compile("^ *(?:- )?([‐-―−•·]) "),
    "this begins with a long dash or a dot.",
    "Begin an entry of a list with the plain `-` of the keyboard and a space.",
)
_JOINED: _Pattern = (
    re.compile(r"^ *(?:- )?(-)(?=[A-Za-z{\['\"])"),
    "there is no space after the dash.",
    "Put a space after the dash, or quotes around the whole sentence if the dash belongs to it.",
)
_REMARK: _Pattern = (
    re.compile(r"\s+(#)(?=[^\s#-])"),
    "what follows this # is not read.",
    "Put quotes around the whole sentence, or a space after the # if it begins a remark.",
)

# Slips that are hard to see, where they can upset the reading of a line: in the indent or before a value.
_HIDDEN: tuple[_Pattern, ...] = (
    (re.compile(r"^ *(\t)"), "there is a tab in the indent.", "Indent with spaces."),
    (
        re.compile("(?:^|[:,\\[{-]) *([\u00a0\u1680\u2000-\u200d\u202f\u205f\u2060\u3000])"),
        "there is a non-breaking or other unusual space.",
        "Retype the space with the space bar.",
    ),
    (
        re.compile("(?:[:,\\[{]|- ) *([“”„‟«‘‚‛])"),
        "there is a typographic quote.",
        "Use plain ' or \".",
    ),
    _DASH,
    _JOINED,
    _REMARK,
)


def odd_words(said: str, rest: str) -> tuple[int, str, str] | None:
    """A slip in words without quotes that YAML lets pass; `rest` is what stands after them on their line.

    Returns how many signs into `rest` it stands (0 for the words themselves), what it is, and the mend.
    """
    for pattern, what, mend in (_DASH, _JOINED):
        if pattern.match(said):
            return 0, what, mend
    pattern, what, mend = _REMARK
    found = pattern.match(rest)
    return (found.start(1), what, mend) if found else None


def unprintable(file: str, lines: Sequence[str]) -> Problem | None:
    """The first invisible control character in a file, or None."""
    for number, text in enumerate(lines, start=1):
        if found := _UNPRINTABLE.search(text):
            what = f"there is an invisible character here (U+{ord(found.group()):04X})."
            mend = "Delete it; retyping the line is the surest way."
            return Problem(Place(file, number, found.start() + 1), what, mend, text)
    return None


def odd_key(key: str) -> str:
    """The mend for a key that a person cannot have meant; empty for an ordinary one."""
    if not key.strip():
        return "Write a word before the colon."
    if key.startswith("-") and key[1:2].isalpha():
        return f"Put a space after the dash: `- {key[1:]}`."
    if found := re.fullmatch(r"([a-z]\w*):([a-z]\w*)", key):
        return f"Put a space after the colon: `{found[1]}: {found[2]}`."
    if found := re.match(r"([a-z_]+) *[\[{]", key):
        return f"Put a colon and a space after '{found[1]}'."
    return slip(key) if not key.isascii() else ""


def _indent_mend(indent: int, alike: str) -> str:
    how = (
        f"Indent it by {indent} space{'' if indent == 1 else 's'}" if indent else "Begin it at the left edge"
    )
    return f"{how}, as the {alike} above it."


def _key_mend(text: str) -> str:
    """The mend for a line that shall be a key and its value, and lacks the colon or its space."""
    joined = re.match(r"(- )?([a-z_]+)[:=](?=[^\s])", text)
    if joined:
        return f"Put a space after the colon: `{joined[2]}: `."
    lacking = re.match(r"(- )?([a-z_]+)(?: [=:-])?(?: .*)?$", text)
    if lacking:
        key = lacking[2]
        return f"If '{key}' is a key, put a colon after it: `{key}: `. If it is not, indent the line further."
    return "Is a colon missing after a key, or a space after the colon? Or is the indent too small?"


def syntax_problem(error: Exception, file: str, lines: Sequence[str]) -> Problem:
    """A parser's error as a problem in our words, at the place where the mend is needed."""
    return _Complaint(error, file, lines).problem()


class _Complaint:
    """One complaint of the parser: what it said, where, and where the thing it was reading began."""

    def __init__(self, error: Exception, file: str, lines: Sequence[str]) -> None:
        self.file, self.lines = file, lines
        self.said = str(getattr(error, "problem", None) or error).split("\n")[0]
        self.context = str(getattr(error, "context", None) or "")
        self.at = self._spot(getattr(error, "problem_mark", None)) or (1, 1)
        self.began = self._spot(getattr(error, "context_mark", None)) or self.at

    @staticmethod
    def _spot(mark: object) -> tuple[int, int] | None:
        return (mark.line + 1, mark.column + 1) if mark else None  # type: ignore[attr-defined]

    def _line(self, number: int) -> str:
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""

    def _here(self, spot: tuple[int, int], what: str, mend: str, width: int = 1) -> Problem:
        return Problem(Place(self.file, *spot, width), what, mend, self._line(spot[0]))

    def problem(self) -> Problem:
        return self._hidden() or self._unclosed() or self._colon() or self._begins_badly() or self._misfit()

    def _hidden(self) -> Problem | None:
        for number in sorted({self.at[0], self.at[0] - 1, self.began[0]}, reverse=True):
            for pattern, what, mend in _HIDDEN:
                if found := pattern.search(self._line(number)):
                    return self._here((number, found.start(1) + 1), what, mend)
        return None

    def _unclosed(self) -> Problem | None:
        if "quoted scalar" in self.context and "unexpected end" in self.said:
            mend = "Close it with the same mark. Inside '…' an apostrophe is written twice ('')."
            return self._here(self.began, "this quotation mark is never closed.", mend)
        if "flow" not in self.context:
            return None
        if "nesting" in self.said:
            return self._here(
                self.at, "this is nested far too deep.", "Write it flatter; is a bracket left open?"
            )
        at_the_end = not self._line(self.at[0]).strip()
        began = self._last_bracket() if at_the_end else self.began
        mark = self._line(self.at[0])[self.at[1] - 1 : self.at[1]]
        if mark == ",":
            return self._here(self.at, "there is a comma too many.", "Take it out.")
        if mark in ("]", "}") and began[0] == self.at[0]:
            mend = f"Write '{'}' if mark == ']' else ']'}': [ is closed with ] and {{ with }}."
            return self._here(self.at, f"this '{mark}' does not close the bracket before it.", mend)
        if began[0] != self.at[0]:
            mend = "Close it with ] or }, and put commas between its entries."
            return self._here(began, "this bracket is not closed where it should be.", mend)
        mend = "Put a comma between entries, and close each [ with ] and each { with }."
        return self._here(self.at, "a comma or a closing bracket is missing before this.", mend)

    def _last_bracket(self) -> tuple[int, int]:
        upward = range(min(self.at[0], len(self.lines)), 0, -1)
        columns = ((number, max(map(self._line(number).rfind, "[{")) + 1) for number in upward)
        return next((spot for spot in columns if spot[1]), self.began)

    def _colon(self) -> Problem | None:
        if "simple key" in self.context:
            text = self._line(self.began[0])[self.began[1] - 1 :].rstrip()
            what = f"{quoted(text)} is neither a key nor part of the line above."
            return self._here(self.began, what, _key_mend(text), len(text))
        if "mapping values are not allowed" not in self.said:
            return None
        before = self._line(self.at[0])[: self.at[1] - 1]
        if re.search(r":\s", before):
            mend = (
                "Put quotes around the whole sentence, or write it on the next line, indented, after a `>`."
            )
            return self._here(self.at, "there is a second colon on this line.", mend)
        key = before.strip()
        what = f"the key {quoted(key)} cannot stand here."
        above = f"line {self.at[0] - 1}" if self.at[0] > 1 else "the line above"
        mend = f"Is a colon, or the space after it, missing on {above}? Or is this line indented too far?"
        fitting = self._fitting_indent()
        if fitting is not None and self._begins_with_key(self.at[0] - 1):
            mend = _indent_mend(fitting, "keys")
        return self._here((self.at[0], self.at[1] - len(key)), what, mend, len(key))

    def _begins_badly(self) -> Problem | None:
        mark = self._line(self.at[0])[self.at[1] - 1 : self.at[1]]
        if "cannot start any token" in self.said:
            mend = "Put quotes around the whole value."
            return self._here(self.at, f"a value cannot begin with {quoted(mark)}.", mend)
        if "alias" in self.context or "anchor" in self.context:
            mend = "Put quotes around words that begin with * or &."
            return self._here(self.began, "* and & have a meaning of their own in YAML.", mend)
        if "sequence entries are not allowed" in self.said:
            mend = "Begin the list on a new line below its key."
            return self._here(self.at, "a list cannot begin on the line of its key.", mend)
        if "escape" in self.said:
            mend = "Use single quotes, or write the backslash twice."
            return self._here(self.at, "this backslash means nothing inside double quotes.", mend)
        if "block scalar" in self.context:
            mend = "Begin the text on the next line, indented."
            return self._here(self.began, "after > or | nothing else may stand on the line.", mend)
        return None

    def _misfit(self) -> Problem:
        text = self._line(self.at[0])
        before, rest = text[: self.at[1] - 1], text[self.at[1] - 1 :].rstrip()
        if rest[:1] in ("]", "}"):
            return self._here(self.at, f"this '{rest[0]}' closes nothing.", "Take it out.")
        if rest.startswith(":") and not before.strip():
            return self._here(self.at, "there is no key before this colon.", "Write a word before the colon.")
        if before.strip():
            mend = "A value that begins with a quotation mark must end with it; an apostrophe in '…' is written ''."
            return self._here(self.at, "something is left over after the value.", mend, len(rest))
        what = "this line does not fit under the lines above it."
        mend = "Give all entries of a list, and all keys of an item, the same indent. Does a `- ` or a colon lack?"
        fitting = self._fitting_indent()
        if fitting is not None and fitting != len(before):
            mend = _indent_mend(fitting, "entries" if rest.startswith("- ") else "keys")
        elif rest.startswith("- ") and not before:
            mend = "Where a file holds several items, each begins with `- `, the first one too; or use two files."
        return self._here(self.at, what, mend, len(rest))

    def _begins_with_key(self, number: int) -> bool:
        return bool(_KEY_LINE.match(self._line(number)))

    def _fitting_indent(self) -> int | None:
        """The indent nearest to that of the line, among those of the keys (or entries) it may belong beside."""
        text = self._line(self.at[0])
        indent, is_entry = len(text) - len(text.lstrip(" ")), text.lstrip(" ").startswith("- ")
        fitting: list[int] = []
        inner = _BEYOND
        for number in range(self.at[0] - 1, 0, -1):
            found = _KEY_LINE.match(self._line(number)) or _ENTRY_LINE.match(self._line(number))
            if not found:
                continue
            entry = found.start(1) if found[1] else None
            key = found.end(1) if found[1] else found.start(2)
            for start, starts_entry in ((key, False), (entry, True)):
                if start is not None and start < inner:
                    inner = start
                    if starts_entry == is_entry and (starts_entry or found.re is _KEY_LINE):
                        fitting.append(start)
            if inner == 0:
                break
        return min(fitting, key=lambda start: abs(start - indent), default=None)
