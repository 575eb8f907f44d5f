"""The small changes that are tried on the machinery: what may be changed, and into what.

Words for people are left alone (texts, and all of a `raise`), and so are types, what decorates a dataclass or a cache,
how a field is shown, and `strict`, which guards against a slip of the programmer: no claim about the cellar hangs on
them.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("calculators", "reasoning", "planning")

OPERATORS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
UNTOUCHED = (ast.Raise, ast.JoinedStr, ast.Import, ast.ImportFrom)
PLAIN_DECORATORS = ("dataclass", "lru_cache", "cache")


@dataclass(frozen=True)
class Mutant:
    """One change at one place; `at` is the place of the changed node in the order of walking the file."""

    room: str
    file: str
    line: int
    at: int
    which: int
    change: str
    text: str
    """The line as it stands."""
    inside: bool
    """Whether it stands in the body of a function; else it happens when the file is read in."""


def mutants(file: Path) -> list[Mutant]:
    """Every change that may be tried on a file, in the order of its lines."""
    source = file.read_text("utf-8")
    lines = source.splitlines()
    name = file.relative_to(ROOT).as_posix()
    found = []
    for at, (node, inside) in enumerate(places(ast.parse(source))):
        for which, new in enumerate(instead(node)):
            change = f"{_short(node)} → {_short(new)}"
            line = (node.ifs[0] if isinstance(node, ast.comprehension) else node).lineno  # type: ignore[attr-defined]
            text = lines[line - 1].strip()
            found.append(Mutant(name.split("/")[1], name, line, at, which, change, text, inside))
    return found


def mutated(mutant: Mutant) -> ast.Module:
    """The file with the change in it, its line numbers as before; as it stands if the change has no number."""
    tree = ast.parse((ROOT / mutant.file).read_text("utf-8"))
    if mutant.which < 0:
        return tree
    node = next(node for at, (node, _) in enumerate(places(tree)) if at == mutant.at)
    new = instead(node)[mutant.which]
    for parent in ast.walk(tree):
        for field, value in ast.iter_fields(parent):
            if value is node:
                setattr(parent, field, new)
            elif isinstance(value, list):
                value[:] = [new if one is node else one for one in value]
    return ast.fix_missing_locations(tree)


def places(tree: ast.AST, inside: bool = False) -> Iterator[tuple[ast.AST, bool]]:
    """Every node that a change may stand at, and whether it is in the body of a function."""
    for field, value in ast.iter_fields(tree):
        if field in ("annotation", "returns", "type_comment"):
            continue
        deeper = inside or (isinstance(tree, ast.FunctionDef | ast.Lambda) and field == "body")
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST) or isinstance(child, UNTOUCHED):
                continue
            if field == "decorator_list" and _called(child) in PLAIN_DECORATORS:
                continue
            if _is_alias(child) or _is_for_programmers(child):
                continue
            yield child, deeper
            yield from places(child, deeper)


def instead(node: ast.AST) -> list[ast.AST]:
    """What may stand in the place of a node."""
    found: list[ast.AST] = []
    match node:
        case ast.BinOp(op=op) | ast.BoolOp(op=op) | ast.AugAssign(op=op) if type(op) in OPERATORS:
            found = [_with(node, op=OPERATORS[type(op)]())]
        case ast.Compare(ops=ops):
            found = [
                _with(node, ops=[*ops[:n], OPERATORS[type(op)](), *ops[n + 1 :]]) for n, op in enumerate(ops)
            ]
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            found = [operand]
        case ast.Constant(value=bool() as value):
            found = [_with(node, value=not value)]
        case ast.Constant(value=int() as value):
            found = [_with(node, value=value + 1)]
        case ast.Constant(value=float() as value):
            found = [_with(node, value=float(f"{value * 1.1:.12g}") if value else 1.0)]
        case ast.Name(id=name) if name in NAMES:
            found = [_with(node, id=NAMES[name])]
        case ast.Attribute(attr=name) if name in NAMES:
            found = [_with(node, attr=NAMES[name])]
        case ast.Expr(value=ast.Call()):
            found = [ast.copy_location(ast.Pass(), node)]
        case ast.Continue():
            found = [ast.copy_location(ast.Break(), node)]
        case ast.Break():
            found = [ast.copy_location(ast.Continue(), node)]
        case ast.If(test=test) | ast.IfExp(test=test) if isinstance(
            test, ast.Name | ast.Attribute | ast.Call
        ):
            found = [_with(node, test=ast.copy_location(ast.UnaryOp(ast.Not(), test), test))]
        case ast.comprehension(ifs=[_, *_] as ifs):
            found = [
                ast.copy_location(_with(node, ifs=[*ifs[:n], *ifs[n + 1 :]]), one)
                for n, one in enumerate(ifs)
            ]
    return found


def _with(node: ast.AST, **fields: object) -> ast.AST:
    new = copy.copy(node)
    for name, value in fields.items():
        setattr(new, name, value)
    return new


def _called(node: ast.AST) -> str:
    while isinstance(node, ast.Call):
        node = node.func
    return getattr(node, "id", getattr(node, "attr", ""))


def _is_alias(node: ast.AST) -> bool:
    """Whether it only names a type, or what the file lends."""
    match node:
        case ast.Assign(targets=[ast.Name(id="__all__")]):
            return True
        case ast.AnnAssign(annotation=ast.Name(id="TypeAlias")):
            return True
        case ast.Assign(value=ast.Subscript(value=ast.Name(id="Annotated"))):
            return True
    return _called(node) in ("TypeVar", "Annotated")


def _is_for_programmers(node: ast.AST) -> bool:
    """Whether it only says how a field is shown and compared, or stops at a slip of the programmer."""
    return _called(node) == "field" or (isinstance(node, ast.keyword) and node.arg == "strict")


def _short(node: ast.AST) -> str:
    if isinstance(node, ast.If):
        return f"if {ast.unparse(node.test)}"
    return " ".join(ast.unparse(node).split())
