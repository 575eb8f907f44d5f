"""What the shell offers at the Tab key: names of kept cases, of pages of the rules, and of sums.

Rule files are looked through for their names and not read: somebody waits with a finger on the key. So a name may be
offered that a folder on top took out; the command says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from diagnose.bounds import RULE_FILE, SETTINGS_FILE
from diagnose.places import cases_folder, settings_file
from diagnose.plain_file import read_plain
from diagnose.shipped import shipped_folder

Offered = list[CompletionItem]


def kept(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Kept cases."""
    return _offered(_kept(_folder(context)), begun)


def archived(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Cases that were put away."""
    return _offered(_kept(_folder(context) / "archived"), begun)


def kept_or_file(context: click.Context, parameter: click.Parameter, begun: str) -> Offered:
    """Kept cases; where none begins so, files."""
    return kept(context, parameter, begun) or [CompletionItem(begun, type="file")]


def topics(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Subjects."""
    return _offered(pages(context, ["topic"]), begun)


def fixes(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Fixes."""
    return _offered(pages(context, ["fix"]), begun)


def causes(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Causes."""
    return _offered(pages(context, ["cause"]), begun)


def questions(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Questions."""
    return _offered(pages(context, ["observe"]), begun)


def explained(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """All that can be asked why about."""
    return _offered(pages(context, ["cause", "fix", "test", "caution", "observe"]), begun)


def laws(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Whose limits the rules know."""
    return _offered(_written(context, r"^  jurisdiction: *(\w+)"), begun)


def words(context: click.Context, _: click.Parameter, begun: str) -> Offered:
    """Words of the glossary."""
    return _offered(pages(context, ["word"]), begun.casefold())


def sums(_: click.Context, __: click.Parameter, begun: str) -> Offered:
    """The sums of the cellar."""
    from diagnose.calculators import calculators, worksheets

    return _offered([*calculators(), *worksheets()], begun)


def pages(context: click.Context, kinds: Sequence[str]) -> Iterator[str]:
    """The names of all pages of these kinds, as they begin in the rule files."""
    return _written(context, rf"^(?:- )?(?:{'|'.join(kinds)}): *(\w+)")


def _written(context: click.Context, pattern: str) -> Iterator[str]:
    wanted = re.compile(pattern, re.MULTILINE)
    for folder in _rule_folders(context):
        for file in (*folder.rglob("*.yaml"), *folder.rglob("*.yml")):
            try:
                yield from wanted.findall(read_plain(file, RULE_FILE.size)[0].decode("utf-8"))
            except (OSError, UnicodeDecodeError):  # the command will say what is wrong with it
                continue


def _rule_folders(context: click.Context) -> Iterator[Path]:
    given = context.find_root().params
    below = [Path(folder) for folder in given.get("rules_folders") or ()]
    yield from below or [shipped_folder("rules"), *_own_kept(given.get("settings_file"))]
    yield from (Path(folder) for folder in given.get("own_folders") or ())


def _own_kept(chosen: Path | None) -> list[Path]:
    import yaml

    try:
        settings = yaml.safe_load(read_plain(chosen or settings_file(), SETTINGS_FILE.size)[0])
        return [Path(str(folder)) for folder in settings.get("own") or ()]
    except (OSError, UnicodeDecodeError, yaml.YAMLError, AttributeError, TypeError):
        return []


def _folder(context: click.Context) -> Path:
    return cases_folder(context.find_root().params.get("cases_folder"))


def _kept(folder: Path) -> list[str]:
    return [file.stem for file in folder.glob("*.yaml") if file.stem.isprintable()]


def _offered(names: Iterable[str], begun: str) -> Offered:
    return [CompletionItem(name) for name in sorted({*names}) if name.startswith(begun)]
