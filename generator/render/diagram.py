"""A logic diagram as SVG: placed by Graphviz, written anew by us. Nothing of Graphviz's paint is kept; the stylesheet
paints by class, so one drawing serves day, night and paper."""

import html
import re
from collections.abc import Iterator
from functools import lru_cache
from xml.etree import ElementTree

from msgspec import Struct

from generator.errors import DrawingError
from generator.model.diagram import Diagram, Node
from generator.render.layout import Direction, dot, placed

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBERS = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


class Placed(Struct, frozen=True):
    """Where everything stands, in the drawing's own units: boxes in the order of the nodes, lines as path data."""

    width: float
    height: float
    boxes: tuple[tuple[float, float, float, float], ...]
    """Left, top, width, height."""
    lines: tuple[tuple[str, str], ...]
    """Path data of a line and the points of its arrow head."""
    texts: tuple[tuple[tuple[float, float, str], ...], ...]
    """Per box: middle, baseline and words of each line of text."""


def drawn(diagram: Diagram, root: str = "", direction: Direction = "LR") -> str:
    """The SVG of a diagram, links relative to the page whose way back to the site's root is `root`.

    Raises:
        DrawingError: Graphviz is not there, or refuses the diagram.
    """
    if not diagram.nodes:
        raise DrawingError(f"diagram {diagram.key} has no boxes")
    where = read(placed(dot(diagram, direction)))
    key = f"{diagram.key}-{direction.lower()}"
    return "".join(
        (
            f'<svg class="logic logic-{direction.lower()}" xmlns="http://www.w3.org/2000/svg" role="group"'
            f' aria-labelledby="{_text(key)}-t" viewBox="0 0 {where.width:g} {where.height:g}"'
            f' width="{where.width:g}" height="{where.height:g}">',
            f'<title id="{_text(key)}-t">{_text(diagram.title)}</title>',
            *_lines(where),
            *(_box(node, number, where, root, key) for number, node in enumerate(diagram.nodes)),
            "</svg>",
        )
    )


def _lines(where: Placed) -> Iterator[str]:
    for path, head in where.lines:
        yield f'<g class="line"><path d="{path}"/><polygon points="{head}"/></g>'


def _box(node: Node, number: int, where: Placed, root: str, key: str) -> str:
    left, top, width, height = where.boxes[number]
    words = "".join(
        f'<text class="{"first" if line == 0 else "more"}" x="{x:g}" y="{y:g}">{_text(text)}</text>'
        for line, (x, y, text) in enumerate(where.texts[number])
    )
    inner = f'<rect x="{left:g}" y="{top:g}" width="{width:g}" height="{height:g}"/>{words}'
    if node.title:
        inner = f"<title>{_text(node.title)}</title>{inner}"
    if node.path:
        inner = f'<a href="{_text(root + node.path)}">{inner}</a>'
    return f'<g id="{_text(key)}-{number}" class="box {node.kind}">{inner}</g>'


def _text(words: str) -> str:
    return html.escape("".join(letter for letter in words if letter.isprintable()))


@lru_cache(maxsize=4096)
def read(svg: str) -> Placed:
    """Take the places out of Graphviz's drawing.

    Raises:
        DrawingError: the drawing is not the kind that Graphviz makes of our DOT.
    """
    try:
        tree = ElementTree.fromstring(svg[svg.index("<svg") :])  # noqa: S314  # Graphviz's answer to our own DOT
    except (ValueError, ElementTree.ParseError) as problem:
        raise DrawingError(f"Graphviz answered with something that is no drawing: {problem}") from problem
    graph = tree.find(f"{_SVG}g")
    if graph is None:
        raise DrawingError("Graphviz answered with an empty drawing")
    _, _, width, height = map(float, tree.attrib["viewBox"].split())
    across, down = map(float, _NUMBERS.findall(graph.attrib["transform"])[-2:])
    boxes: dict[int, tuple[float, float, float, float]] = {}
    texts: dict[int, tuple[tuple[float, float, str], ...]] = {}
    lines: list[tuple[str, str]] = []
    for part in graph.findall(f"{_SVG}g"):
        outline = part.find(f"{_SVG}polygon")
        if outline is None:
            raise DrawingError("Graphviz drew a part without an outline")
        if part.attrib["class"] == "edge":
            path = part.find(f"{_SVG}path")
            if path is None:
                raise DrawingError("Graphviz drew a line without a path")
            lines.append((_moved(path.attrib["d"], across, down), _moved(outline.attrib["points"], across, down)))
            continue
        number = int((part.findtext(f"{_SVG}title") or "").removeprefix("n"))
        xs, ys = _axes(outline.attrib["points"])
        boxes[number] = (
            _round(min(xs) + across),
            _round(min(ys) + down),
            _round(max(xs) - min(xs)),
            _round(max(ys) - min(ys)),
        )
        texts[number] = tuple(
            (_round(float(text.attrib["x"]) + across), _round(float(text.attrib["y"]) + down), text.text or "")
            for text in part.findall(f"{_SVG}text")
        )
    order = sorted(boxes)
    return Placed(
        width, height, tuple(boxes[number] for number in order), tuple(lines), tuple(texts[number] for number in order)
    )


def _axes(points: str) -> tuple[list[float], list[float]]:
    numbers = [float(number) for number in _NUMBERS.findall(points)]
    return numbers[0::2], numbers[1::2]


def _moved(points: str, across: float, down: float) -> str:
    """Path data or points, shifted so that the drawing begins at its upper left corner."""
    turn = iter(range(len(points)))

    def shift(match: re.Match[str]) -> str:
        return f"{_round(float(match[0]) + (across if next(turn) % 2 == 0 else down)):g}"

    return _NUMBERS.sub(shift, points)


def _round(number: float) -> float:
    return round(number, 1) + 0.0
