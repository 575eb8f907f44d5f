"""Show or change a person's settings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import nearest
from diagnose.settings import Settings, read_settings, settings_file, write_settings

from .setup import make_cellar, make_page
from .status import DONE


def change_settings(
    rules: RuleFolders,
    units: str | None,
    law: str | None,
    limits: Sequence[str],
    own: Sequence[Path] | None,
) -> int:
    """Change what is named, then show everything. `own` None leaves the kept folders of rules, none takes them out.

    Raises RuleFilesWrong where the rules would not stand with the new folders; then nothing is changed.
    """
    now = read_settings()
    kept = now.own if own is None else tuple(str(folder.resolve()) for folder in own)
    base = make_cellar(rules, now.model_copy(update={"own": kept})).base
    laws = {limit.jurisdiction for limit in base.limits.values()}
    if law is not None and law not in laws:
        raise click.UsageError(f"No limits are known of '{law}'. Known: {', '.join(sorted(laws))}.")
    if units or law or limits or own is not None:
        figures = dict(now.limits)
        for written in limits:
            name, _, figure = written.partition("=")
            if name not in base.limits:
                raise click.UsageError(f"'{name}' is not a limit. {nearest(name, base.limits)}")
            try:
                figures[name] = float(figure.replace(",", "."))
            except ValueError:
                raise click.UsageError(f"'{figure}' is not a number; write {name}=1.5.") from None
        now = Settings.model_validate(
            {"units": units or now.units, "law": law or now.law, "limits": figures, "own": kept}
        )
        write_settings(now)
    page = make_page()
    page.say(f"Settings ({settings_file()})")
    page.item("-", f"units: {now.units}")
    page.item("-", f"law: {now.law}")
    page.item("-", f"rules: {base.edition}")
    for folder in now.own:
        page.item("-", f"own rules on top: {folder}")
    for name, limit in sorted(base.limits.items()):
        chosen = now.limits.get(name)
        year = f", text of {limit.year_of_text:.0f}" if limit.year_of_text else ""
        figure = f" · your own figure: {chosen:g}" if chosen is not None else ""
        page.item("-", f"{name}: {limit.value:g} {limit.unit} ({limit.jurisdiction}{year}){figure}")
    return DONE
