"""Checks between pages: every name that one page uses must be known on another, and fit there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from ..load import Located
from ..own import RuleFolders
from ..problems import Problem, nearest
from ..yaml_reader import Path_
from .causes import check_cause
from .facts import check_derived, check_observation, check_state
from .hearing import check_heard, check_lone_numbers, check_phrases
from .names import Names
from .plans import check_apart, check_changes, check_foreseen, check_order, check_tracked
from .review import check_accepted
from .rules import check_never_done, check_rule
from .treatments import check_fix, check_test
from .vocabulary import (
    check_clash,
    check_gates,
    check_glossary_word,
    check_instrument,
    check_limit,
    check_name,
    check_tables,
    check_topic,
)


def check_links(
    items: Sequence[Located], by_kind: Mapping[str, Mapping[str, Located]], folders: RuleFolders
) -> Iterator[Problem]:
    """Every mistake between the pages read from the folders, looked for as it is asked for."""
    names = Names(by_kind)
    yield from _repeated(items)
    yield from check_name(items, folders)
    yield from check_tables(names, folders.all)
    yield from check_phrases(names)
    yield from check_lone_numbers(names)
    for located in items:
        check = _CHECKS.get(located.kind)
        if check:
            yield from check(located, names)
        if located.kind == "fix":
            yield from check_changes(located, names)
        yield from _sources(located, names)


def _repeated(items: Sequence[Located]) -> Iterator[Problem]:
    seen: dict[tuple[str, str], Located] = {}
    for located in items:
        if located.kind == "rule_base":
            continue  # one for each folder, whatever it is called
        # Observations, states and derived numbers share one space of names: all become facts.
        space = "fact" if located.kind in ("observe", "state", "derive") else located.kind
        first = seen.setdefault((space, located.id), located)
        if first is not located:
            where = f"{first.place.file}:{first.place.line}"
            what = f"'{located.id}' is already the name of another item, at {where}."
            mend = "Give one of them another name."
            if located.layer > first.layer and located.kind == first.kind:
                mend += " Or say with `replaces_because:` why this one stands in its place."
            yield located.problem((located.kind,), what, mend)


def _sources(located: Located, names: Names) -> Iterator[Problem]:
    """Every `source` anywhere in the item."""
    if located.kind == "source":
        return
    for path, value in _inside(located.written, ()):
        of_a_source = "source" in path[-2:] or "common_source" in path[-2:]
        if of_a_source and isinstance(value, str) and value not in names.known("source"):
            what = f"'{value}' is not a known source."
            yield located.problem(path, what, nearest(value, names.known("source")))


def _inside(value: object, path: Path_) -> Iterator[tuple[Path_, object]]:
    """Everything that a value holds, with its path, in the order of the file."""
    held = (
        value.items() if isinstance(value, Mapping) else enumerate(value) if isinstance(value, list) else ()
    )
    for step, inner in held:
        yield (*path, step), inner
        yield from _inside(inner, (*path, step))


_CHECKS: Mapping[str, Callable[[Located, Names], Iterator[Problem]]] = {
    "observe": check_observation,
    "state": check_state,
    "derive": check_derived,
    "cause": check_cause,
    "test": check_test,
    "fix": check_fix,
    "never_done": check_never_done,
    "rule": check_rule,
    "topic": check_topic,
    "heard": check_heard,
    "instrument": check_instrument,
    "limit": check_limit,
    "word": check_glossary_word,
    "clash": check_clash,
    "gates": check_gates,
    "order": check_order,
    "apart": check_apart,
    "tracked": check_tracked,
    "foreseen": check_foreseen,
    "accepted": check_accepted,
}
