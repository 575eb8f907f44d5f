"""One value or one entry put into the text of a rule file, with every other byte as it was.

The text is not read and written anew: comments, line breaks and the way a person wrote things would be lost. The
marks of the YAML parser say where a value begins and ends, and only that spot is cut.
"""

from __future__ import annotations

from typing import Any

import yaml

from diagnose.knowledge.yaml_reader import Path_


class CannotEdit(Exception):
    """A spot is written in a form that nothing can be put into; the message says which, and the mend."""


def with_value(text: str, path: Path_, key: str, written: str) -> str:
    """The text with `key` of the mapping at `path` set to `written`, a value on one line.

    Raises CannotEdit where there is no such mapping.
    """
    mapping = _at(text, path)
    if not isinstance(mapping, yaml.MappingNode) or not mapping.value:
        raise CannotEdit(f"there is no item at {path}.")
    for key_node, value in mapping.value:
        if key_node.value == key:
            return _cut(text, value.start_mark.index, _end(text, value), written)
    last = mapping.value[-1][1]
    if mapping.flow_style:
        end = _end(text, last)
        return _cut(text, end, end, f", {key}: {written}")
    end = _end_of_line(text, _end(text, last))
    indent = " " * mapping.value[0][0].start_mark.column
    return _cut(text, end, end, f"{_newline(text)}{indent}{key}: {written}")


def with_entry(text: str, path: Path_, lines: str) -> str:
    """The text with one more entry at the end of the list at `path`; `lines` begins with `- ` at the left edge.

    Raises CannotEdit for a list in brackets that is not empty.
    """
    found = _at(text, path)
    if not isinstance(found, yaml.SequenceNode) or (found.flow_style and found.value):
        raise CannotEdit(
            f"'{path[-1]}' is written in brackets. Write each entry on its own line with `- ` first."
        )
    newline = _newline(text)
    if found.flow_style:
        indent = " " * (_at(text, path[:-1]).value[0][0].start_mark.column + 2)
        entry = newline + newline.join(indent + line for line in lines.splitlines())
        return _cut(
            text[: found.start_mark.index].rstrip(" ") + text[found.start_mark.index :],
            *_brackets(text, found),
            entry,
        )
    indent = " " * found.start_mark.column
    end = _end_of_line(text, _end(text, found))
    return _cut(text, end, end, newline + newline.join(indent + line for line in lines.splitlines()))


def with_item(text: str, lines: str) -> str:
    """The text of a file of items with one more at its end. Raises CannotEdit where it holds a single page."""
    if text.strip() and not isinstance(
        yaml.compose(text, Loader=yaml.SafeLoader), yaml.SequenceNode | type(None)
    ):
        raise CannotEdit(
            "the file holds a single page. Begin its first line with `- ` and move the others in."
        )
    newline = _newline(text)
    between = "" if not text or text.endswith("\n") else newline
    return f"{text}{between}{newline if text.strip() else ''}{newline.join(lines.splitlines())}{newline}"


def _brackets(text: str, found: Any) -> tuple[int, int]:
    """Where `[]` begins and ends, once the spaces before it are gone."""
    gone = found.start_mark.index - len(text[: found.start_mark.index].rstrip(" "))
    return found.start_mark.index - gone, found.end_mark.index - gone


def _at(text: str, path: Path_) -> Any:
    # The loader in Python: its marks count characters, and the end of a flow is its bracket.
    node: Any = yaml.compose(text, Loader=yaml.SafeLoader)
    for step in path:
        if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
        elif isinstance(node, yaml.MappingNode):
            node = next((value for key, value in node.value if key.value == step), None)
        else:
            node = None
    return node


def _end(text: str, node: Any) -> int:
    """Where a value ends, without the blank lines and comments that the parser counts to it."""
    if isinstance(node, yaml.ScalarNode):
        if node.style in ("|", ">"):
            return len(text[: node.end_mark.index].rstrip())
        return int(node.end_mark.index)
    if node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(text, last[1] if isinstance(last, tuple) else last)


def _end_of_line(text: str, at: int) -> int:
    """The end of the line, behind a remark that stands on it."""
    end = text.find("\n", at)
    end = len(text) if end < 0 else end
    return end - 1 if text[end - 1 : end] == "\r" else end


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _cut(text: str, start: int, end: int, instead: str) -> str:
    return text[:start] + instead + text[end:]
