"""Read YAML that people write: a small, safe subset, with the place of every value kept.

Answers such as `yes`, `no`, `3:1` and `012` stay words (YAML 1.1 would turn them into something else).
Anchors, aliases, tags, repeated keys, second documents and very deep or large files are refused, each with
its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path
from typing import Any

import yaml

from diagnose.bounds import DEEPEST, LONGEST_TEXT, RULE_FILE, FileBounds, in_words
from diagnose.plain_file import read_plain

from .problems import LONGEST, Place, Problem, RuleFilesWrong, quoted
from .syntax import odd_key, odd_words, syntax_problem, unprintable

MOST_REFUSED = 20
"""Mistakes reported of one file that is not our YAML; a file full of them is the wrong file."""

Path_ = tuple[str | int, ...]

_Base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _PlainLoader(_Base):  # type: ignore[misc]
    """PyYAML with only the conversions a rule file needs."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012  (PyYAML's name)


_PlainLoader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), list("tf"))
_PlainLoader.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"^(?:null|)$"), ["n", ""])
_PlainLoader.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"^-?(?:0|[1-9][0-9]{0,14})$"), list("-0123456789")
)
_PlainLoader.add_implicit_resolver(
    "tag:yaml.org,2002:float",
    re.compile(r"^-?(?:0|[1-9][0-9]*)(?:\.[0-9]+(?:[eE][-+]?[0-9]+)?|[eE][-+]?[0-9]+)$"),
    list("-0123456789"),
)


@dataclass
class Document:
    """A file's value, and the place of every key and value by its path from the top."""

    file: str
    lines: list[str]
    value: Any = None
    values: dict[Path_, Place] = field(default_factory=dict)
    keys: dict[Path_, Place] = field(default_factory=dict)

    def problem(self, place: Place, what: str, mend: str = "") -> Problem:
        """A problem with the text of its line filled in."""
        text = self.lines[place.line - 1] if 0 < place.line <= len(self.lines) else ""
        return Problem(place, what, mend, text)

    def place(self, path: Path_, key: bool = False) -> Place:
        """The place of the longest part of the path that was written in the file; of the key if asked."""
        if key and path in self.keys:
            return self.keys[path]
        while path and path not in self.values:
            path = path[:-1]
        return self.values.get(path, Place(self.file))


def read_file(path: Path, bounds: FileBounds = RULE_FILE, by_hand: bool = False) -> Document:
    """Read one file from disk. One written `by_hand` is also searched for slips that are YAML, and not what was meant.

    Raises RuleFilesWrong as `file_text`, and when it is not our YAML.
    """
    return read_text(file_text(path, bounds), str(path), bounds, by_hand)


def file_text(path: Path, bounds: FileBounds = RULE_FILE) -> str:
    """What stands in a file on disk.

    Raises RuleFilesWrong when it cannot be opened, is no ordinary file, is too large or is not UTF-8 text.
    """
    name = str(path)
    try:
        raw, size = read_plain(path, bounds.size)
    except OSError as error:
        what = f"this file cannot be opened: {(error.strerror or 'it cannot be read').lower()}."
        mend = "Check its name, and that you may read it."
        raise RuleFilesWrong([Problem(Place(name), what, mend)]) from error
    if len(raw) > bounds.size:
        most = in_words(bounds.size)
        what = (
            f"this file is larger than {most}, too large for notes a person wrote: it has {in_words(size)}."
        )
        raise RuleFilesWrong([Problem(Place(name), what, "Is it the right file? Split it if it is.")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RuleFilesWrong([_not_utf8(raw, error.start, name)]) from error


def _not_utf8(raw: bytes, at: int, name: str) -> Problem:
    begins = max(raw.rfind(b"\n", 0, at), raw.rfind(b"\r", 0, at)) + 1
    # The bytes before the first bad one are good, so they give the true column.
    before = raw[begins:at].decode("utf-8-sig", errors="replace")
    after = raw[at : at + LONGEST].splitlines()[0].decode("utf-8", errors="replace")
    place = Place(name, len(_split_lines(raw[:at].decode("utf-8", errors="replace"))), len(before) + 1)
    what = f"byte {at + 1} is not UTF-8 text."
    mend = "Save the file as UTF-8 in your editor (it may have been saved as Latin-1 or Windows text)."
    return Problem(place, what, mend, before + after)


def _split_lines(text: str) -> list[str]:
    # The breaks YAML counts; str.splitlines knows more of them and would number the lines differently.
    return re.split("\r\n|[\n\r\x85\u2028\u2029]", text)


def read_text(text: str, file: str, bounds: FileBounds = RULE_FILE, by_hand: bool = False) -> Document:
    """Read YAML text; of the bounds only that on its values counts.

    Raises RuleFilesWrong with every mistake that can be seen at this level.
    """
    document = Document(file, _split_lines(text))
    problems = list(islice(_refused(text, document, bounds, by_hand), MOST_REFUSED))
    if problems:
        raise RuleFilesWrong(problems)
    loader = _PlainLoader(text)
    try:
        node = loader.get_single_node()
        if node is not None:
            document.value = _build(node, (), document, loader, problems)
    finally:
        loader.dispose()
    if problems:
        raise RuleFilesWrong(problems[:MOST_REFUSED])
    return document


def _refused(text: str, document: Document, bounds: FileBounds, by_hand: bool) -> Iterator[Problem]:
    """What YAML allows and a rule file does not, up to the first spot where the file is no YAML at all."""
    unseen = unprintable(document.file, document.lines)
    if unseen:
        yield unseen
        return
    depth, documents, values = 0, 0, 0
    seen: set[str] = set()
    told: set[int] = set()
    try:
        for event in yaml.parse(text, Loader=_PlainLoader):
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    what = "a second document starts here (`---`)."
                    mend = "Take the `---` out, or use two files."
                    yield document.problem(_place_of(event, document), what, mend)
            for marked in _marked(event, document, seen):
                told.add(marked.place.line)
                yield marked
            if by_hand and isinstance(event, yaml.ScalarEvent) and event.style in (None, ""):
                yield from _odd(event, document)
            if isinstance(event, yaml.NodeEvent):
                values += 1
                if values > bounds.values:
                    what = (
                        f"this file holds more than {bounds.values:,} values; number {values:,} stands here."
                    )
                    mend = "Is it the right file? Split it if it is."
                    yield document.problem(_place_of(event, document), what, mend)
                    return
            if isinstance(event, yaml.ScalarEvent) and len(event.value) > LONGEST_TEXT:
                what = f"this value has {len(event.value):,} letters; {LONGEST_TEXT:,} are the most."
                mend = "Write it shorter; is a quotation mark left open?"
                yield document.problem(_place_of(event, document), what, mend)
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > DEEPEST:
                    what = f"this is nested more than {DEEPEST} levels deep."
                    mend = "Write it flatter; is a bracket left open?"
                    yield document.problem(_place_of(event, document), what, mend)
                    return
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
    except yaml.YAMLError as error:
        complaint = syntax_problem(error, document.file, document.lines)
        if complaint.place.line not in told:  # what was told of this line is its reason
            yield complaint


def _marked(event: Any, document: Document, seen: set[str]) -> Iterator[Problem]:
    """An anchor, an alias or a tag, with the mark itself underlined; each anchor once."""
    anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
    if not (anchor or tag):
        return
    place = _place_of(event, document)
    line = document.lines[place.line - 1]
    written = re.match(r"[^\s,\]}]*", line[place.column - 1 :])
    word = written.group() if written else ""
    place = replace(place, width=max(1, len(word)))
    if anchor and anchor not in seen:
        seen.add(anchor)
        what = f"anchors and aliases (&name, *name) are not used in rule files: {quoted(word)}."
        mend = "Write the words out again, or quote them if & or * begins an ordinary word."
        yield document.problem(place, what, mend)
    if tag:
        what = f"tags (!name) are not used in rule files: {quoted(word)}."
        yield document.problem(place, what, "Leave the tag out, or quote the word.")


def _odd(event: Any, document: Document) -> Iterator[Problem]:
    """A dash that begins no entry, or a # that swallows the end of a sentence."""
    end = event.end_mark
    line = document.lines[end.line] if end.line < len(document.lines) else ""
    if found := odd_words(event.value, line[end.column :]):
        after, what, mend = found
        begins = replace(_place_of(event, document), width=1)
        spot = Place(document.file, end.line + 1, end.column + after + 1) if after else begins
        yield document.problem(spot, what, mend)


def _place_of(event: Any, document: Document) -> Place:
    return _place(event.start_mark, event.end_mark, document)


def _place(start: Any, end: Any, document: Document) -> Place:
    # A value over several lines is underlined to the end of its first.
    line = document.lines[start.line] if start.line < len(document.lines) else ""
    stop = end.column if start.line == end.line else len(line.rstrip())
    return Place(document.file, start.line + 1, start.column + 1, max(1, stop - start.column))


def _build(node: Any, path: Path_, document: Document, loader: Any, problems: list[Problem]) -> Any:
    document.values[path] = _place(node.start_mark, node.end_mark, document)
    if isinstance(node, yaml.ScalarNode):
        return loader.construct_object(node)
    if isinstance(node, yaml.SequenceNode):
        return [
            _build(child, (*path, index), document, loader, problems)
            for index, child in enumerate(node.value)
        ]
    return _build_mapping(node, path, document, loader, problems)


def _build_mapping(
    node: Any, path: Path_, document: Document, loader: Any, problems: list[Problem]
) -> dict[str, Any]:
    built: dict[str, Any] = {}
    for key_node, value_node in node.value:
        place = _place(key_node.start_mark, key_node.end_mark, document)
        if not isinstance(key_node, yaml.ScalarNode):
            mend = "A key is a word followed by a colon."
            problems.append(document.problem(place, "a key here is a list or a mapping.", mend))
            continue
        key = str(key_node.value)
        here = (*path, key)
        if mend := odd_key(key):
            problems.append(document.problem(place, f"{quoted(key)} cannot be a key.", mend))
            continue
        if key in built:
            first = document.keys[here].line
            what = f"{quoted(key)} is written twice in the same mapping; first on line {first}."
            problems.append(document.problem(place, what, "Keep one of the two."))
            continue
        if not built and not node.flow_style:
            # A mapping over several lines is shown by its first key.
            document.values[path] = place
        document.keys[here] = place
        built[key] = _build(value_node, here, document, loader, problems)
    return built
