"""Mutants of a module: its source with one operator, comparison, number or condition changed in a function body."""

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
BOUNDARY: dict[type[ast.cmpop], type[ast.cmpop]] = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
OPPOSITE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}
SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: what was there and what stands instead."""

    lines: range
    """The lines of what was changed."""
    around: range
    """The lines of the function that holds it."""
    before: str
    after: str
    source: str
    number: int
    """Which of the places that can be changed."""
    change: Callable[[ast.AST], None]

    @property
    def name(self) -> str:
        """The change in words."""
        return f"{self.lines[0]}: {self.before.splitlines()[0]}  ->  {self.after.splitlines()[0]}"

    @property
    def tree(self) -> ast.Module:
        """The whole changed module, made anew: of thousands of mutants only a few are wanted."""
        tree = ast.parse(self.source)
        self.change(list(_mutable(tree))[self.number][0])
        return ast.fix_missing_locations(tree)


def mutants(source: str) -> Iterator[Mutant]:
    """Every mutant of a module. Assertions, annotations, defaults and what only raises are left alone."""
    for number, (node, owner) in enumerate(_mutable(ast.parse(source))):
        for change in _changes(node):
            changed = copy.deepcopy(node)
            change(changed)
            yield Mutant(_decided(node), _span(owner), ast.unparse(node), ast.unparse(changed), source, number, change)


def _decided(node: ast.AST) -> range:
    """The lines of an expression; of a statement that holds others, those of its condition."""
    return _span(node.test if isinstance(node, ast.If | ast.While) else node)


def _span(node: ast.AST) -> range:
    assert isinstance(node, ast.expr | ast.stmt) and node.end_lineno is not None
    return range(node.lineno, node.end_lineno + 1)


def _mutable(tree: ast.Module) -> Iterator[tuple[ast.AST, ast.FunctionDef]]:
    """What may be changed, with the function that it stands in."""
    for owner in (tree, *(one for one in tree.body if isinstance(one, ast.ClassDef))):
        for function in owner.body:
            if isinstance(function, ast.FunctionDef):
                for statement in function.body:
                    yield from ((node, function) for node in _inside(statement))


def _inside(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Assert | ast.Raise | ast.JoinedStr | ast.arguments | ast.ImportFrom):
        return
    yield node
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for part in value if isinstance(value, list) else [value]:
            if isinstance(part, ast.AST):
                yield from _inside(part)


def _changes(node: ast.AST) -> Iterator[Callable[[ast.AST], None]]:
    match node:
        case ast.BinOp(op=operator) if type(operator) in ARITHMETIC:
            yield lambda one: setattr(one, "op", ARITHMETIC[type(operator)]())
        case ast.AugAssign(op=operator) if type(operator) in ARITHMETIC:
            yield lambda one: setattr(one, "op", ARITHMETIC[type(operator)]())
        case ast.Compare(ops=[*operators]):
            for place, operator in enumerate(operators):
                for table in (BOUNDARY, OPPOSITE):
                    if type(operator) in table:
                        yield _compared(place, table[type(operator)])
        case ast.BoolOp(op=operator):
            yield lambda one: setattr(one, "op", ast.Or() if isinstance(operator, ast.And) else ast.And())
        case ast.UnaryOp(op=ast.USub()):
            yield lambda one: setattr(one, "op", ast.UAdd())
        case ast.UnaryOp(op=ast.Not()):
            yield lambda one: setattr(one, "operand", ast.UnaryOp(ast.Not(), one.operand))
        case ast.Constant(value=bool()):
            yield lambda one: setattr(one, "value", not one.value)
        case ast.Constant(value=int() | float()):
            yield lambda one: setattr(one, "value", one.value + 1)
        case ast.If() | ast.IfExp() | ast.While():
            yield lambda one: setattr(one, "test", ast.UnaryOp(ast.Not(), one.test))
        case ast.Call(func=ast.Name(id=name)) if name in SWAPPED:
            yield lambda one: setattr(one.func, "id", SWAPPED[one.func.id])
        case _:
            return


def _compared(place: int, operator: type[ast.cmpop]) -> Callable[[ast.AST], None]:
    def change(one: ast.AST) -> None:
        assert isinstance(one, ast.Compare)
        one.ops[place] = operator()

    return change
