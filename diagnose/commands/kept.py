"""Cases that are kept, by their name."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path

import click

from diagnose.casebook.case import CaseState
from diagnose.casebook.shelf import inside
from diagnose.casebook.store import ARCHIVED, CannotKeep, OpenCase, list_cases
from diagnose.knowledge.called import names_of, page_meant
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.cases import none_yet
from diagnose.present.console import Page


def kept_case(folder: Path, name: str, archived: bool = False) -> Path:
    """The file of a kept case, from its name or a part that no other has.

    Raises CannotKeep where there is none, for a path, and for a link that leads out of the folder.
    """
    place = folder / ARCHIVED if archived else folder
    if not name.strip() or any(sign in name for sign in "/\\\0") or name in (".", ".."):
        what = f"'{name[:60]}' is not the name of a case. `diagnose cases` lists them"
        raise CannotKeep(f"{what}; a name has no path before it.")
    kept = list_cases(place)
    near = [name] if name in kept else [case for case in kept if name in case]
    if len(near) == 1:
        path = place / f"{near[0]}.yaml"
        inside(folder, path)
        return path
    put_away = [] if archived or near else [case for case in list_cases(folder / ARCHIVED) if name in case]
    if put_away:
        what = f"'{name[:60]}' is archived. To bring it back: diagnose unarchive {put_away[0]}"
        raise CannotKeep(what)
    if near:
        raise CannotKeep(f"'{name[:60]}' may be any of: {', '.join(near[-8:])}. Type more of the name.")
    raise CannotKeep(_no_such(place, name[:60], kept, archived))


def _no_such(place: Path, name: str, kept: Sequence[str], archived: bool) -> str:
    if not kept:
        return f"Nothing is archived in {place}." if archived else none_yet(place)
    close = difflib.get_close_matches(name.lower(), kept, n=1, cutoff=0.5)
    meant = f"Did you mean {close[0]}? " if close else ""
    return f"There is no case '{name}' in {place}. {meant}Kept there: {', '.join(kept[-8:])}."


def case_file(folder: Path, named: str) -> Path:
    """A case file, or the file of a kept case."""
    file = Path(named)
    return file if file.is_file() or file.suffix in (".yaml", ".yml") else kept_case(folder, named)


def tell_of_the_file(page: Page, record: OpenCase) -> None:
    """What had to be mended at opening, and what is odd in the file; told before anything else."""
    tell_what_was_mended(page, record)
    for sentence in record.notices:
        page.warn(sentence)


def tell_what_was_mended(page: Page, record: OpenCase) -> None:
    """What a person must know even where only a line is added: that something was cut off, or the file changed."""
    if record.mended:
        page.warn(record.mended)


def tell_of_other_rules(page: Page, state: CaseState) -> None:
    """Say that something in a case does not count, where it is only looked at; an opened one names each."""
    if state.set_aside:
        count = f"{len(state.set_aside)} things" if len(state.set_aside) > 1 else "One thing"
        page.warn(
            f"{count} in this case came from other rules and do not count here; `diagnose continue` names them."
        )


def kept_or_newest(folder: Path, name: str | None) -> Path:
    """The file of the kept case named, or of the one worked on last. Raises CannotKeep where there is none."""
    kept = list_cases(folder)
    if not kept:
        raise CannotKeep(none_yet(folder))
    return kept_case(folder, name or kept[-1])


def fix_named(base: RuleBase, typed: str) -> str:
    """The fix that a person means. Raises UsageError where none is surely meant."""
    name, near = page_meant(typed, names_of(base.fixes))
    if name is None:
        raise click.UsageError(
            f"No fix is surely meant by '{typed[:40]}'. Expected is the name of one. Near: {', '.join(near[:12])}."
        )
    return name
