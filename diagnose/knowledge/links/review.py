"""What is said about the rules themselves: accepted weaknesses are on pages that exist."""

from __future__ import annotations

from collections.abc import Iterator

from ..load import Located
from ..models.review import Accepted
from ..problems import Problem
from .names import Names, check_word


def check_accepted(located: Located, names: Names) -> Iterator[Problem]:
    """Each page on which a weakness is accepted exists, and is named by its kind and its name."""
    item = located.item
    assert isinstance(item, Accepted)
    for index, page in enumerate(item.pages):
        kind, dot, name = page.partition(".")
        if not dot or kind not in names.by_kind:
            what = f"'{page}' does not name a page."
            mend = "Write its kind and its name with a point between, such as `cause.oak_dust`."
            yield located.problem(("pages", index), what, mend)
        else:
            known = names.known(kind)
            if name not in known:
                yield from check_word(located, ("pages", index), name, known, f"the name of a page `{kind}`")
