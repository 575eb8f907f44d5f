"""The book, or a sheet of one cause, into HTML and Markdown."""

from __future__ import annotations

from diagnose.report.written import Form, render

from .told import Book, CauseSheet


def write(page: Book | CauseSheet, form: Form) -> str:
    """The whole document as text."""
    name = "book" if isinstance(page, Book) else "cause"
    return render(f"{name}.{form}", page, form, "diagnose.book")
