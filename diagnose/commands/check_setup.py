"""Look at the installation itself: packages, folders, rules, sums. Nothing of a case is read or shown."""

from __future__ import annotations

import os
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from diagnose import __version__
from diagnose.casebook.store import load_case
from diagnose.judgement.expectations import misses
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.places import CACHE, CASES, SETTINGS, cache_folder, cases_folder, settings_file
from diagnose.present.setup import SetupOut, show_setup
from diagnose.settings import Settings, read_settings
from diagnose.setup_check.findings import Finding, Part, shown, without_home
from diagnose.setup_check.folders import Kept, check_folder
from diagnose.setup_check.packages import check_packages, check_python, tested
from diagnose.setup_check.sums import check_sums, printed_figures
from diagnose.shipped import shipped_folder

from .demo import DEMONSTRATION
from .output import put_json
from .setup import in_use, make_cellar, make_page
from .status import DONE, WRONG

_AGAIN = "Install the program anew, as the README says."


def check_setup(rules: RuleFolders, cases: Path | None, as_json: bool) -> int:
    """Look at everything, show it, and say by the exit status whether all is well."""
    found = tuple(_findings(rules, cases))
    out = SetupOut.of(__version__, found)
    if as_json:
        put_json(out.model_dump_json(indent=2))
    else:
        show_setup(make_page(), out)
    return DONE if out.good else WRONG


def _findings(rules: RuleFolders, cases: Path | None) -> Iterator[Finding]:
    yield _program()
    try:
        ranges = tested()
    except (RuleFilesWrong, OSError) as error:
        yield _unreadable("program", "tested", "The list of tested versions", error)
    else:
        yield check_python(ranges)
        yield from check_packages(ranges)
    for kept in _folders(cases):
        yield check_folder(kept)
    settings, said = _settings()
    yield said
    yield from _rules(rules, settings)
    try:
        figures = printed_figures()
    except (RuleFilesWrong, OSError) as error:
        yield _unreadable("sums", "figures", "The list of printed figures", error)
    else:
        yield from check_sums(figures)


def _program() -> Finding:
    where = shown(Path(__file__).resolve().parents[1])
    try:
        installed = version("diagnose")
    except PackageNotFoundError:
        installed = __version__
    if installed != __version__:
        says = f"diagnose {__version__} in {where}, but what is installed says {installed}."
        return Finding("program", "diagnose", "wrong", says, _AGAIN)
    return Finding("program", "diagnose", "good", f"diagnose {__version__} in {where}")


def _folders(cases: Path | None) -> tuple[Kept, ...]:
    return (
        Kept(
            "cases",
            cases_folder(cases),
            "option --cases" if cases is not None else _origin(CASES),
            f"--cases or {CASES}",
        ),
        Kept("settings", settings_file().parent, _origin(SETTINGS), SETTINGS),
        Kept("cache", cache_folder(), _origin(CACHE), CACHE, needed=False),
    )


def _origin(variable: str) -> str:
    return f"variable {variable}" if os.environ.get(variable) else "the usual place"


def _settings() -> tuple[Settings, Finding]:
    file = settings_file()
    try:
        mine = read_settings()
    except (RuleFilesWrong, OSError) as error:
        return Settings(), _unreadable(
            "folders", "settings_file", "The settings", error, "Mend that line, or remove the file."
        )
    kept = shown(file) if file.exists() else "none kept yet, so the usual ones"
    own = f", {len(mine.limits)} own figures for limits" if mine.limits else ""
    says = f"settings: {kept}; units {mine.units}, law {mine.law}{own}"
    return mine, Finding("folders", "settings_file", "good", says)


def _rules(rules: RuleFolders, settings: Settings) -> Iterator[Finding]:
    try:
        folders = in_use(rules, settings)
        whence = " and ".join(map(shown, folders.below))
        cellar = make_cellar(rules, settings, anew=True)
    except (RuleFilesWrong, OSError) as error:
        mend = "`diagnose check` lists every mistake." if rules.below or rules.own or settings.own else _AGAIN
        yield _unreadable("rules", "rules", "The rules", error, mend)
        return
    base = cellar.base
    whose = "your own folder" if rules.below else "those that came along"
    on_top = f", with {' and '.join(map(shown, folders.own))} on top" if folders.own else ""
    yield Finding(
        "rules",
        "rules",
        "good",
        f"{base.edition}: {len(base.causes)} causes, {len(base.observations)} questions, {len(base.tests)} tests, "
        f"{len(base.fixes)} fixes, no mistakes; {whose}, {whence}{on_top}",
    )
    yield _demonstration(cellar, bool(rules.below))


def _demonstration(cellar: Cellar, own: bool) -> Finding:
    """The demonstration case through the rule network, held to what it expects."""
    if own:
        says = "The demonstration case was not tried: it belongs to the rules that came along."
        return Finding("rules", "demonstration", "note", says)
    try:
        case, state = load_case(shipped_folder("cases") / DEMONSTRATION, cellar.base)
        judged = judge(cellar, case.topics, state.facts())
        missed = (
            [*map(str, misses(cellar.base, judged, case.expect))] if case.expect else ["it expects nothing"]
        )
    except (RuleFilesWrong, OSError, ImportError, AttributeError) as error:
        # Import and attribute errors come from a damaged rule network or number package.
        return _unreadable("rules", "demonstration", "The demonstration case", error)
    if missed:
        says = f"The demonstration case does not come out as it must: {'; '.join(missed)}"
        return Finding("rules", "demonstration", "wrong", says, _AGAIN)
    return Finding("rules", "demonstration", "good", "the demonstration case comes out as it must")


def _unreadable(part: Part, name: str, what: str, error: Exception, mend: str = _AGAIN) -> Finding:
    why = str(error).strip() or type(error).__name__
    if isinstance(error, RuleFilesWrong):
        # The first mistake, without the line it stands on: that is a person's own text.
        first = error.problems[0]
        more = f" (and {len(error.problems) - 1} more)" if len(error.problems) > 1 else ""
        why = f"{first.place.file}:{first.place.line}: {first.what}{more}"
    return Finding(part, name, "wrong", f"{what} cannot be used. {without_home(why)}", mend)
