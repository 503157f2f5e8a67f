"""Equations: LaTeX of the records to MathML, which screen and print set without scripts or fonts of our own."""

from functools import lru_cache

from latex2mathml.converter import convert


@lru_cache(maxsize=4096)
def mathml(latex: str) -> str:
    """One equation as a MathML element.

    >>> mathml("a = b").startswith("<math")
    True
    """
    return convert(latex, display="block")
