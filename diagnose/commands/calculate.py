"""Work out a sum of the cellar by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import click

from diagnose.calculators import Calculator, OutOfRange, Parameter, Worksheet, calculators, worksheets
from diagnose.calculators.spread import Spread
from diagnose.engine.facts import Facts, Value
from diagnose.engine.truth import Truth, branches, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import nearest
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.plot import CannotPlot, save_plot
from diagnose.present.workings import (
    points_of,
    show_needs,
    show_sheet,
    show_subjects,
    show_table,
    show_worked,
    words,
)
from diagnose.settings import read_settings
from diagnose.units import System
from diagnose.workings.inputs import (
    CannotRead,
    Given,
    Instrument,
    Surroundings,
    quantity_of,
    read_input,
    read_inputs,
    written_unit,
)
from diagnose.workings.machine import calculation_out
from diagnose.workings.work import Sheet, Table, Worked, fill_in, work, work_table

from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE


def calculate(
    rules: RuleFolders,
    units: str | None,
    name: str | None,
    written: Sequence[str],
    *,
    measured: bool,
    limit: str | None,
    colour: str | None,
    sugar: str | None,
    as_json: bool,
    plot: bool,
    save: Path | None,
) -> int:
    """List the sums, show what one needs, or work one out."""
    settings = read_settings()
    system: System = "us" if (units or settings.units) == "us" else "metric"
    sums: dict[str, Calculator | Worksheet] = {**calculators(), **worksheets()}
    page = make_page()
    if name is None:
        show_subjects(page, sums)
        return DONE
    subject = {key: one for key, one in sums.items() if one.subject == name.replace("-", "_")}
    if subject and name not in sums:
        show_subjects(page, subject)
        return DONE
    sum_ = _find(sums, name)
    if not written and any(one.required for one in sum_.parameters):
        show_needs(page, sum_, system)
        return DONE
    base = make_cellar(rules).base
    around = _surroundings(base, system, settings.limits)
    try:
        given = read_inputs(sum_, written, around)
        given = tuple(_as_measured(one, around) for one in given) if measured else given
        done = _done(sum_, given)
        named = limit and _limit_named(base, limit, settings.law, _wine(colour, sugar, around))
        against = _against(sum_, named, around)
    except (CannotRead, OutOfRange) as why:
        raise click.UsageError(str(why)) from None
    if save is not None:
        _save(done, save, system)
    if as_json:
        put_json(calculation_out(done, against).model_dump_json(indent=2))
        return DONE
    if isinstance(done, Sheet):
        show_sheet(page, done, system)
    elif isinstance(done, Table):
        show_table(page, done, plot, system)
    else:
        show_worked(page, done, against, system)
    return DONE


def _find(sums: Mapping[str, Calculator | Worksheet], name: str) -> Calculator | Worksheet:
    wanted = name.replace("-", "_").casefold()
    if wanted in sums:
        return sums[wanted]
    near = [key for key in sums if wanted in key] or sums
    raise click.UsageError(
        f"No sum is called '{name}'. {nearest(wanted, near)} `diagnose calculate` lists all."
    )


def _surroundings(base: RuleBase, system: System, own: Mapping[str, float]) -> Surroundings:
    limits = {name: (own.get(name, limit.value), limit.unit) for name, limit in base.limits.items()}
    instruments = {
        one.measures: Instrument(one.name, one.plus_minus or 0.0, one.percent or 0.0)
        for one in base.instruments.values()
    }
    return Surroundings(system, instruments, limits)


def _limit_named(base: RuleBase, wanted: str, law: str, wine: Facts) -> str:
    """The one limit of a law on something, for this wine, by the word for what is limited; another text as it is."""
    of_it = [limit for limit in base.limits.values() if limit.of == wanted]
    if not of_it:
        return wanted
    here = [limit for limit in of_it if limit.jurisdiction == law]
    holds = {
        limit.limit: Truth.TRUE if limit.when is None else judge(branches(limit.when), wine) for limit in here
    }
    fitting = [limit for limit in here if holds[limit.limit] is Truth.TRUE]
    open_ = [limit for limit in here if holds[limit.limit] is Truth.UNKNOWN]
    if len(fitting) == 1 and not open_:
        return fitting[0].limit
    shown = [*fitting, *open_] or of_it
    choices = "; ".join(f"{one.limit}, {one.name}, {one.value:g} {one.unit}" for one in shown)
    if open_:
        why = f"The law '{law}' looks at the colour or the sugar; say --colour white and --sugar 3, or name the limit"
    else:
        why = (
            f"No limit on {wanted} is known of the law '{law}' (diagnose settings --law changes it). Name one"
        )
    raise CannotRead(f"{why}: {choices}.")


def _wine(colour: str | None, sugar: str | None, around: Surroundings) -> Facts:
    """What is known of the wine, as facts."""
    facts: dict[str, tuple[Value, ...]] = {}
    if colour is not None:
        facts["wine_colour"] = (colour,)
    if sugar is not None:
        read = read_input(Parameter("sugar", "g/L", required=True), sugar, around)
        facts["residual_sugar"] = (read.spread.value,)
    return facts


def _as_measured(given: Given, around: Surroundings) -> Given:
    """An input that an instrument reads, with the spread of that instrument unless it has one."""
    known = quantity_of(given.unit) in around.instruments
    if given.taken != "given" or given.spread.plus_minus or given.values or not known:
        return given
    about = read_input(
        Parameter(given.name, given.unit, required=True), f"about {given.spread.value!r}", around
    )
    return Given(given.name, given.unit, Spread(given.spread.value, about.spread.plus_minus), "about")


def _done(sum_: Calculator | Worksheet, given: Sequence[Given]) -> Worked | Table | Sheet:
    running = [one for one in given if one.values]
    if len(running) > 1:
        raise CannotRead(f"Only one input may run: {' and '.join(one.name for one in running)} both do.")
    if isinstance(sum_, Worksheet):
        if running:
            raise CannotRead(f"'{sum_.name}' is a worksheet. Give {running[0].name} one value.")
        return fill_in(sum_, given)
    return work_table(sum_, given, running[0]) if running else work(sum_, given)


def _against(
    sum_: Calculator | Worksheet, limit: str | None, around: Surroundings
) -> tuple[str, float] | None:
    if limit is None:
        return None
    if isinstance(sum_, Worksheet):
        raise CannotRead("A limit is compared with one number; a worksheet has several.")
    read = read_input(Parameter("limit", sum_.result_unit, required=True), limit, around)
    return (limit if read.taken == "limit" else "", read.spread.value)


def _save(done: Worked | Table | Sheet, file: Path, system: System) -> None:
    if not isinstance(done, Table):
        raise click.UsageError("Only a table can be drawn. Let one input run, for example ph='3.2 to 4.0'.")
    up = f"{done.calculator.result} ({written_unit(done.calculator.result_unit, system)})"
    try:
        save_plot(
            points_of(done, system),
            f"{words(done.runs.name)} ({written_unit(done.runs.unit, system)})",
            up,
            words(done.calculator.name),
            file,
        )
    except CannotPlot as why:
        raise click.UsageError(str(why)) from None
