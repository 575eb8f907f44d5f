"""Values into pages: HTML and Markdown. What a person or a file said is data and never becomes markup."""

from __future__ import annotations

import re
from dataclasses import fields
from functools import cache
from typing import Any, Literal

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from diagnose.plain_text import without_controls

from .told import CurveSheet, FixSheet, Report, TrialSheet

Form = Literal["html", "md"]

_NAMES: dict[type[Report | TrialSheet | FixSheet], str] = {
    Report: "report",
    TrialSheet: "trial_sheet",
    FixSheet: "fix_sheet",
}

_EMPTY_LINES = re.compile(r"\n{3,}")
_MARKS = re.compile(r"[\\`*_\[\]<>#|~&{}$]")
_BEGINS_A_LIST = re.compile(r"^(\d+)([.)])(?=\s|$)|^([-+=:])")


def write(page: Report | TrialSheet | FixSheet, form: Form) -> str:
    """The whole page as text."""
    return render(f"{_NAMES[type(page)]}.{form}", page, form)


def render(template: str, page: Any, form: Form, room: str = "diagnose.report") -> str:
    """The fields of a page put into a template of a room, which may use the templates of this one."""
    values = {field.name: getattr(page, field.name) for field in fields(page)}
    text = _environment(form, room).get_template(template).render(values)
    return _EMPTY_LINES.sub("\n\n", text) if form == "md" else text


def write_drawings(page: CurveSheet) -> str:
    """Drawings as one SVG file."""
    return _environment("html").get_template("curves.svg").render(page=page)


@cache
def _environment(form: Form, room: str = "diagnose.report") -> Environment:
    # Whatever a template shows goes through one of these, so that none can forget it.
    return Environment(
        loader=ChoiceLoader([PackageLoader(name) for name in dict.fromkeys((room, "diagnose.report"))]),
        autoescape=True,
        finalize=_plain if form == "html" else _as_markdown,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _plain(value: Any) -> Any:
    return without_controls(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _as_markdown(value: Any) -> Any:
    """Text in which no sign has a meaning of its own in Markdown. Autoescape leaves what is marked as done."""
    if isinstance(value, Markup):
        return value
    text = _MARKS.sub(lambda sign: "\\" + sign[0], without_controls(str(value)).strip())
    # At its start a text could begin a list, a rule or an underlined head.
    return Markup(_BEGINS_A_LIST.sub(lambda at: f"{at[1]}\\{at[2]}" if at[1] else "\\" + at[3], text))
