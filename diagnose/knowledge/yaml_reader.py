"""Read YAML that people write: a small, safe subset, with the place of every value kept.

Answers such as `yes`, `no`, `3:1` and `012` stay words (YAML 1.1 would turn them into something else).
Anchors, aliases, tags, repeated keys, second documents and very deep or large files are refused, each with
its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from .problems import Place, Problem, RuleFilesWrong

LARGEST_FILE = 512 * 1024
DEEPEST = 20

Path_ = tuple[str | int, ...]

_Base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _PlainLoader(_Base):  # type: ignore[misc]
    """PyYAML with only the conversions a rule file needs."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012  (PyYAML's name)


_PlainLoader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), list("tf"))
_PlainLoader.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"^(?:null|)$"), ["n", ""])
_PlainLoader.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"^-?(?:0|[1-9][0-9]*)$"), list("-0123456789")
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
        """The place of the longest part of the path that was written in the file."""
        if key and path in self.keys:
            return self.keys[path]
        while path and path not in self.values:
            path = path[:-1]
        return self.values.get(path, Place(self.file))


def read_file(path: Path, shown: str | None = None, largest: int = LARGEST_FILE) -> Document:
    """Read one file from disk.

    Raises RuleFilesWrong when it cannot be opened, is too large, is not UTF-8 text or is not our YAML.
    """
    name = shown or str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(largest + 1)
    except OSError as error:
        reason = (error.strerror or "it cannot be read").lower()
        raise RuleFilesWrong([Problem(Place(name), f"this file cannot be opened: {reason}.")]) from error
    if len(raw) > largest:
        what = f"this file is larger than {largest // 1024} kB, too large for notes a person wrote."
        raise RuleFilesWrong([Problem(Place(name), what, "Is it the right file? Split it if it is.")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"byte {error.start + 1} is not UTF-8 text."
        mend = "Save the file as UTF-8 in your editor (it may have been saved as Latin-1 or Windows text)."
        raise RuleFilesWrong([Problem(Place(name, line), what, mend)]) from error
    return read_text(text, name)


def read_text(text: str, file: str) -> Document:
    """Read YAML text. Raises RuleFilesWrong with every mistake that can be seen at this level."""
    document = Document(file, text.splitlines())
    try:
        refused = list(_refused(text, document))
        if refused:
            raise RuleFilesWrong(refused)
        loader = _PlainLoader(text)
        try:
            node = loader.get_single_node()
            problems: list[Problem] = []
            if node is not None:
                document.value = _build(node, (), document, loader, problems)
        finally:
            loader.dispose()
    except yaml.YAMLError as error:
        raise RuleFilesWrong([_syntax(error, document)]) from error
    except (RecursionError, ValueError) as error:
        what = "this file is nested too deeply or holds a number that cannot be read."
        raise RuleFilesWrong([Problem(Place(file), what, "Write it flatter.")]) from error
    if problems:
        raise RuleFilesWrong(problems)
    return document


def _refused(text: str, document: Document) -> Iterator[Problem]:
    """What YAML allows and a rule file does not."""
    depth, documents = 0, 0
    for event in yaml.parse(text, Loader=_PlainLoader):
        place = _place(event.start_mark, event.end_mark, document.file)
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents == 2:
                yield document.problem(place, "a second document starts here (`---`).", "Use two files.")
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if anchor:
            yield document.problem(
                place,
                f"anchors and aliases (&name, *name) are not used in rule files: '{anchor}'.",
                "Write the words out again, or quote them if & or * begins an ordinary word.",
            )
        if tag:
            what = f"tags (!name) are not used in rule files: '{tag}'."
            yield document.problem(place, what, "Leave the tag out, or quote the word.")
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
            if depth > DEEPEST:
                yield document.problem(place, f"nested more than {DEEPEST} levels deep.", "Write it flatter.")
                return
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1


def _place(start: Any, end: Any, file: str) -> Place:
    width = end.column - start.column if start.line == end.line else 1
    return Place(file, start.line + 1, start.column + 1, max(1, width))


def _build(node: Any, path: Path_, document: Document, loader: Any, problems: list[Problem]) -> Any:
    document.values[path] = _place(node.start_mark, node.end_mark, document.file)
    if isinstance(node, yaml.ScalarNode):
        return loader.construct_object(node)
    if isinstance(node, yaml.SequenceNode):
        return [
            _build(child, (*path, index), document, loader, problems)
            for index, child in enumerate(node.value)
        ]
    built: dict[str, Any] = {}
    for key_node, value_node in node.value:
        place = _place(key_node.start_mark, key_node.end_mark, document.file)
        if not isinstance(key_node, yaml.ScalarNode):
            mend = "A key is a word followed by a colon."
            problems.append(document.problem(place, "a key here is a list or a mapping.", mend))
            continue
        key = str(key_node.value)
        here = (*path, key)
        if key in built:
            first = document.keys[here].line
            what = f"'{key}' is written twice in the same mapping; first on line {first}."
            problems.append(document.problem(place, what, "Keep one of the two."))
            continue
        document.keys[here] = place
        built[key] = _build(value_node, here, document, loader, problems)
    return built


def _syntax(error: yaml.YAMLError, document: Document) -> Problem:
    mark = getattr(error, "problem_mark", None)
    place = Place(document.file, mark.line + 1, mark.column + 1) if mark else Place(document.file)
    said = str(getattr(error, "problem", None) or error).split("\n")[0]
    text = document.lines[place.line - 1] if 0 < place.line <= len(document.lines) else ""
    return Problem(place, f"this is not YAML we can read: {said}.", _hint(text, said), text)


def _hint(text: str, said: str) -> str:
    """The likely slip behind a syntax error, from the look of the line."""
    if "\t" in text:
        return "There is a tab on this line; indent with spaces."
    if "\u00a0" in text:
        return "There is a non-breaking space on this line; retype the spaces."
    if any(quote in text for quote in "“”„‘’"):
        return "There are typographic quotes on this line; use plain ' or \"."
    if "mapping values are not allowed" in said:
        return "A colon inside a sentence needs quotes around the whole sentence, or a `>` before it."
    if re.match(r"^\s*[-\w]+\S*[^\s:]\s*$", text) or "could not find expected ':'" in said:
        return "Is a colon missing after a key, or a space after a colon?"
    return "Check the indent, the colon after each key and the quotes of this line and the one above."
