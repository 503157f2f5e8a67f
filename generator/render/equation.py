"""Equations: LaTeX of the records to MathML, which screen and print set without scripts or fonts of our own."""

import re
from collections.abc import Iterator
from functools import lru_cache

from latex2mathml.converter import convert

_SIGN = re.compile(r"<mrow><mo>(&#x0002B;|&#x02212;|&#x0003D;|&#x02264;|&#x02265;)</mo>")
_OPENS, _CLOSES = ("{", "(", r"\left", r"\begin"), ("}", ")", r"\right", r"\end")
_SIGNS = ("+", "-", "=", r"\le", r"\ge")
_TOKEN = re.compile(r"\\[a-zA-Z]+|\\.|\s[-+=]\s|\s\\[lg]e\s|.", re.DOTALL)


@lru_cache(maxsize=4096)
def mathml(latex: str) -> str:
    """One equation as MathML; what it defines after a comma and a wide blank as further ones, each on its line.

    A line is cut before each sign that stands free, so that a narrow page or a sheet of paper can break it there.

    >>> mathml("a = b").startswith('<span class="line"><math')
    True
    >>> mathml(r"a = b c, \\quad c = 2").count("line")
    2
    """
    return "".join(f'<span class="line">{" ".join(map(_piece, _cut(part)))}</span>' for part in latex.split(r", \quad "))


@lru_cache(maxsize=4096)
def symbol(latex: str) -> str:
    """A symbol in a table or a sentence."""
    return convert(_upright(latex))


def _upright(latex: str) -> str:
    r"""Words in a subscript, and names of more than one capital, as words: else each letter counts as a quantity.

    >>> print(_upright("t_{needed} + NPSH_a - h_{stop,1} - a_b"))
    t_{\text{needed}} + \text{NPSH}_a - h_{\text{stop},1} - a_b
    """
    subscripts = re.sub(r"_\{([a-z]{2,})(?=[},])", r"_{\\text{\1}", latex)
    return re.sub(r"(?<![A-Za-z\\{])([A-Z]{3,})(?![A-Za-z])", r"\\text{\1}", subscripts)


@lru_cache(maxsize=4096)  # many equations of a plant hold the same terms
def _piece(latex: str) -> str:
    """A piece of a line; a sign at its head keeps the room that it has between two terms."""
    made = convert(_upright(latex), display="block")  # fractions at full size; the stylesheet sets the pieces in one line
    return _SIGN.sub(r'<mrow><mo form="infix" lspace="0.22em" rspace="0.22em">\1</mo>', made, count=1)


def _cut(latex: str) -> Iterator[str]:
    """The pieces of a line: before each relation, plus or minus outside all brackets and bars.

    >>> list(_cut(r"a = \\frac{b + c}{d} - |e - f|"))
    ['a', '= \\\\frac{b + c}{d}', '- |e - f|']
    >>> len(list(_cut(r"b = \\begin{cases} c - d & e \\le f \\end{cases} - g")))
    3
    """
    depth, bars, piece = 0, 0, ""
    for sign in _TOKEN.findall(latex):
        word = sign.strip()
        if sign in _OPENS:
            depth += 1
        elif sign in _CLOSES:
            depth -= 1
        elif sign == "|":
            bars = 1 - bars
        stands_free = depth == 0 and not bars and len(sign) > 1 and word in _SIGNS
        if stands_free and piece.strip():
            yield piece.strip()
            piece = ""
        piece += sign
    yield piece.strip()
