"""Show or change a person's settings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from diagnose.knowledge.limits import laws_of
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import nearest
from diagnose.places import cache_folder, cases_folder, settings_file
from diagnose.settings import Settings, read_settings, write_settings
from diagnose.units import NotAQuantity, read_quantity

from .setup import make_cellar, make_page
from .status import DONE

CHANGE = "diagnose settings --units us --law us"
"""An example of how settings are changed, shown where they are."""


def change_settings(
    rules: RuleFolders,
    cases: Path | None,
    units: str | None,
    law: str | None,
    limits: Sequence[str],
    own: Sequence[Path] | None,
    plain: bool | None = None,
) -> int:
    """Change what is named, then show everything. `own` None leaves the kept folders of rules, none takes them out.

    Raises RuleFilesWrong where the rules would not stand with the new folders; then nothing is changed.
    """
    now = read_settings()
    kept = now.own if own is None else tuple(str(folder.resolve()) for folder in own)
    base = make_cellar(rules, now.model_copy(update={"own": kept})).base
    laws = laws_of(base)
    if law is not None and law not in laws:
        raise click.UsageError(f"No limits are known of '{law}'. Known: {', '.join(sorted(laws))}.")
    if units or law or limits or own is not None or plain is not None:
        figures = dict(now.limits)
        for written in limits:
            name, _, figure = written.partition("=")
            if name not in base.limits:
                raise click.UsageError(f"'{name}' is not a limit. {nearest(name, base.limits)}")
            try:
                figures[name] = read_quantity(figure, "count", "metric")
            except NotAQuantity as error:
                raise click.UsageError(f"{name}: {error}") from None
        now = Settings(
            units=units or now.units,  # type: ignore[arg-type]
            law=law or now.law,
            limits=figures,
            plain=now.plain if plain is None else plain,
            own=kept,
        )
        write_settings(now)
    page = make_page()
    page.say(f"Settings ({settings_file()})")
    page.item("-", f"units: {now.units}")
    page.item("-", f"law: {now.law} ({laws.get(now.law, now.law)})")
    page.item("-", f"plain screens: {'yes' if now.plain else 'no'}")
    page.item("-", f"rules: {base.edition}")
    for folder in now.own:
        page.item("-", f"own rules on top: {folder}")
    for name, limit in sorted(base.limits.items()):
        chosen = now.limits.get(name)
        year = f", text of {limit.year_of_text:.0f}" if limit.year_of_text else ""
        figure = f" · your own figure: {chosen:g}" if chosen is not None else ""
        page.item("-", f"{name}: {limit.value:g} {limit.unit} ({limit.jurisdiction}{year}){figure}")
    page.blank()
    page.say("Where things are kept")
    page.item("-", f"cases: {cases_folder(cases)}")
    page.item("-", f"settings: {settings_file()}")
    page.item("-", f"what only saves time, and may be emptied: {cache_folder()}")
    page.blank()
    page.say(f"To change a setting: {CHANGE}")
    return DONE
