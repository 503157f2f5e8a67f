"""Conditions as expressions of sympy, an algebra of logic that the generator does not use."""

from itertools import combinations

import sympy
from sympy.logic.boolalg import Boolean

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote


def expression(condition: Condition) -> Boolean:
    """A condition, delays over, as an expression over one symbol a tag. A vote is any of its k-subsets, all of one."""
    match condition:
        case Acted(tag=tag):
            return sympy.Symbol(str(tag))
        case Not(part=part):
            return sympy.Not(expression(part))
        case Held(part=part):
            return expression(part)
        case AnyOf(inner=parts):
            return sympy.Or(*map(expression, parts))
        case AllOf(inner=parts):
            return sympy.And(*map(expression, parts))
        case Vote(needed=needed, inner=parts):
            return sympy.Or(*(sympy.And(*chosen) for chosen in combinations(map(expression, parts), needed)))
        case _:
            raise AssertionError(condition)


def same(one: Boolean, other: Boolean) -> bool:
    """Whether two expressions agree in every state: that they differ cannot be satisfied."""
    return sympy.satisfiable(sympy.Xor(one, other)) is False
