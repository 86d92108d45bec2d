"""The changes: an operator swapped, a number nudged, a condition turned, an argument or a charge lost."""

import ast
from collections.abc import Iterator
from copy import copy
from typing import Any, Final, NamedTuple

OPERATORS: Final[dict[type[ast.AST], type[ast.AST]]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
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
FUNCTIONS: Final = {"min": "max", "max": "min", "ceil": "floor", "floor": "ceil"}
SYMMETRIC: Final = {"min", "max", "hypot", "isinstance"}
"""Whose arguments swapped change nothing, or do not run."""

NOT_CODE: Final = {"annotation", "returns", "decorator_list", "bases"}
UNPRICED: Final = {"basis", "title", "message", "words", "quantities", "place"}
"""What people read, and the order they read it in: no price rests on these."""


class Mutant(NamedTuple):
    """A source file with one change."""

    file: str
    line: int
    scope: str
    change: str
    source: str

    @property
    def key(self) -> tuple[str, str, str]:
        """What the change is known by wherever the lines around it move."""
        return self.file, self.scope, self.change


def mutants(file: str, source: str) -> Iterator[Mutant]:
    """Every mutant of a file."""
    tree = ast.parse(source)
    for holder, field, place, scope in _sites(tree, ""):
        value = getattr(holder, field)
        node = value if place is None else value[place]
        for changed in _variants(node):
            around = f"{_brief(holder)}: " if isinstance(node, ast.Constant) else ""
            change = f"{around}{_brief(node)} -> {_brief(changed)}"
            _put(holder, field, place, changed)
            after = ast.unparse(ast.fix_missing_locations(tree))
            yield Mutant(file, node.lineno, scope, change, after)
        _put(holder, field, place, node)


def _put(holder: ast.AST, field: str, place: int | None, node: ast.AST) -> None:
    if place is None:
        setattr(holder, field, node)
    else:
        getattr(holder, field)[place] = node


def _brief(node: ast.AST) -> str:
    return ast.unparse(node).split("\n")[0]


def _sites(holder: ast.AST, scope: str) -> Iterator[tuple[ast.AST, str, int | None, str]]:
    """Where a node hangs that may be changed: its holder, field and place in it; and the function or class around."""
    match holder:
        case ast.Raise() | ast.JoinedStr() | ast.ImportFrom():
            return
        case ast.Assign(targets=[ast.Name(name)]) | ast.keyword(arg=str(name)) if name in UNPRICED:
            return
        case ast.FunctionDef() | ast.ClassDef():
            scope = f"{scope}.{holder.name}".lstrip(".")
    for field, value in ast.iter_fields(holder):
        if field in NOT_CODE or (isinstance(holder, ast.ClassDef) and field == "keywords"):
            continue
        for place, node in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(node, ast.AST):
                if hasattr(node, "lineno"):
                    yield holder, field, place if isinstance(value, list) else None, scope
                yield from _sites(node, scope)


def _with(node: ast.AST, **fields: Any) -> ast.AST:
    changed = copy(node)
    for name, value in fields.items():
        setattr(changed, name, value)
    return changed


def _variants(node: ast.AST) -> Iterator[ast.AST]:  # noqa: C901, PLR0912 - one case a kind of change
    match node:
        case ast.BinOp(op=op) | ast.AugAssign(op=op) | ast.BoolOp(op=op) if type(op) in OPERATORS:
            yield _with(node, op=OPERATORS[type(op)]())
        case ast.Compare(ops=ops):
            for place, compared in enumerate(ops):
                yield _with(node, ops=[*ops[:place], OPERATORS[type(compared)](), *ops[place + 1 :]])
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.IfExp(body=body, orelse=orelse):
            yield _with(node, body=orelse, orelse=body)
        case ast.If(test=ast.Name() | ast.Attribute() | ast.Call() as test):
            yield _with(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.Constant(value=bool(flag)):
            yield ast.Constant(not flag)
        case ast.Constant(value=int() | float() as number):
            yield ast.Constant(number + 1)
        case ast.Expr(value=ast.Yield() | ast.YieldFrom()):
            yield ast.Expr(ast.YieldFrom(ast.Tuple([], ast.Load())))
        case ast.Return(value=ast.expr()):
            yield ast.Return(ast.Constant(None))
        case ast.Call(func=function, args=args, keywords=keywords):
            name = ast.unparse(function)
            if name in FUNCTIONS:
                yield _with(node, func=ast.Name(FUNCTIONS[name]))
            if args[1:] and name not in SYMMETRIC and ast.unparse(args[-1]) != ast.unparse(args[-2]):
                yield _with(node, args=[*args[:-2], args[-1], args[-2]])
            for lost in keywords:
                if lost.arg not in UNPRICED and not isinstance(lost.value, ast.Constant):
                    yield _with(node, keywords=[keyword for keyword in keywords if keyword is not lost])
