"""Equations: LaTeX of the records to MathML, which screen and print set without scripts or fonts of our own."""

from functools import lru_cache

from latex2mathml.converter import convert


@lru_cache(maxsize=4096)
def mathml(latex: str) -> str:
    """One equation as a MathML element; what it defines after a comma and a wide blank as further ones, each on its line.

    >>> mathml("a = b").startswith("<math")
    True
    >>> mathml(r"a = b c, \\quad c = 2").count("<math")
    2
    """
    return "".join(convert(part, display="block") for part in latex.split(r", \quad "))
