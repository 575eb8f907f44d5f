"""The files that a conversation changes or makes, as texts, before anything is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from diagnose.drafting.edit import with_entry, with_item, with_value
from diagnose.drafting.written import in_line, written
from diagnose.knowledge.load import path_to
from diagnose.knowledge.rule_base import RuleBase


class Sheets:
    """Texts by file: `before` as they are on the disk, `texts` as they would be. `into` is where new pages go."""

    def __init__(self, base: RuleBase, into: Path | None, read: Callable[[Path], str]) -> None:
        self.base = base
        self.into = into
        self.read = read
        self.before: dict[Path, str] = {}
        self.texts: dict[Path, str] = {}

    def text(self, path: Path) -> str:
        """A file as it would be."""
        if path not in self.before:
            self.before[path] = self.read(path)
        return self.texts.get(path, self.before[path])

    def new_page(self, kind: str, topic: str, page: Mapping[str, Any]) -> Path:
        """A page in a file of its own: in the folder that was named, or among the others of its subject."""
        folder = self.into or self._topic_folder(topic) / f"{'fixe' if kind == 'fix' else kind}s"
        path = folder / f"{page[kind]}.yaml"
        if self.text(path):
            path = folder / f"{page[kind]}_{kind}.yaml"
        self.texts[path] = self.text(path) + written(page) + "\n"
        return path

    def entry(self, cause: str, key: str, entry: Mapping[str, Any]) -> Path:
        """One more entry in a list of a cause that is there already. Raises CannotEdit and RuleFilesWrong."""
        path = Path(self.base.places["cause", cause].file)
        text = self.text(path)
        at = path_to(text, "cause", cause, str(path))
        if key == "evidence" or getattr(self.base.causes[cause], key):
            self.texts[path] = with_entry(text, (*at, key), written(entry, entry=True))
        else:
            self.texts[path] = with_value(text, at, key, in_line([entry]))
        return path

    def sources(self, topic: str, pages: Iterable[Mapping[str, Any]]) -> None:
        """New sources, at the end of the file of sources of the subject, or of the folder that was named."""
        for page in pages:
            path = (self.into or self._topic_folder(topic)) / "sources.yaml"
            self.texts[path] = with_item(self.text(path), written(page, entry=True))

    def _topic_folder(self, topic: str) -> Path:
        return Path(self.base.places["topic", topic].file).parent
