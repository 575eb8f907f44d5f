"""The pages for people, cut into the pieces that tests look at."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"

_BLOCK = re.compile(r"^```(.*)\n((?:.*\n)*?)```$", re.M)
_KEYS = re.compile(r"<!-- keys: (\w+) -->\n\n((?:\|.*\n)+)")
_LINK = re.compile(r"\]\(([^)\s]+)\)")


@dataclass(frozen=True)
class Block:
    """A fenced block: what stands after the fence, and what is inside."""

    info: str
    text: str


def page(name: str) -> str:
    """A page of the folder of documents."""
    return (DOCS / name).read_text(encoding="utf-8")


def pages() -> dict[Path, str]:
    """Every page for people: those of the folder, and those at the top."""
    files = [*sorted(DOCS.rglob("*.md")), *sorted(ROOT.glob("*.md"))]
    return {file: file.read_text(encoding="utf-8") for file in files}


def all_text() -> str:
    """All pages as one text."""
    return "\n".join(pages().values())


def blocks(text: str, info: str | None = None) -> list[Block]:
    """The fenced blocks, of one kind if asked."""
    found = [Block(match[1].strip(), match[2]) for match in _BLOCK.finditer(text)]
    return [block for block in found if info is None or block.info == info]


def key_tables(text: str) -> dict[str, dict[str, str]]:
    """For each table marked as one of keys: the keys with their last column."""
    return {
        match[1]: {row[0].strip("`"): row[-1] for row in rows(match[2])} for match in _KEYS.finditer(text)
    }


def rows(table: str) -> list[list[str]]:
    """The cells of a table, without its head."""
    lines = [line.strip().strip("|") for line in table.strip().splitlines()]
    return [[cell.strip() for cell in line.split("|")] for line in lines[2:]]


def table_under(text: str, head: str) -> list[list[str]]:
    """The rows of the first table with this head line."""
    lines = text[text.index(head) :].splitlines()
    end = next((at for at, line in enumerate(lines) if not line.startswith("|")), len(lines))
    return rows("\n".join(lines[:end]))


def links(text: str) -> Iterator[str]:
    """The targets of all links outside fenced blocks."""
    for match in _LINK.finditer(_BLOCK.sub("", text)):
        yield match[1]


def anchors(text: str) -> set[str]:
    """The anchors of a page's headings, as the usual renderers make them."""
    heads = re.findall(r"^#+ (.*)$", _BLOCK.sub("", text), re.M)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}
