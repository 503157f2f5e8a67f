"""The level budget of a point as one stacked bar, to scale, each piece with a label beside it."""

from collections.abc import Sequence

from msgspec import Struct

from generator.draw.labels import BOLD_CHARACTER, CHARACTER, LINE, spread, wrap
from generator.model.margin import PieceKind

WIDTH, LEFT, RIGHT, TEXT = 350.0, 46.0, 104.0, 136.0
_UPPER, _LEAST, _END, _FIGURE = 20.0, 260.0, 20.0, 62.0
_HALF_LABEL = 4.0


class Given(Struct, frozen=True):
    """A piece to draw: what it is, its length [m] and its length as text."""

    name: str
    kind: PieceKind
    length: float
    figure: str


class Segment(Struct, frozen=True):
    """A piece as drawn, in drawing units."""

    kind: PieceKind
    top: float
    height: float


class Label(Struct, frozen=True):
    """The label of a piece: its lines with their baselines, its figure, and the leader from the bar."""

    lines: tuple[tuple[str, float], ...]
    figure: str
    kind: PieceKind
    leader: tuple[tuple[float, float], ...]


class BudgetDrawing(Struct, frozen=True):
    """Everything to place. y runs downwards; `limit_y` and `point_y` are the two ends."""

    key: str
    title: str
    description: str
    height: float
    segments: tuple[Segment, ...]
    labels: tuple[Label, ...]
    limit_y: float
    point_y: float
    limit: str
    point: str
    short: bool


def level_budget(key: str, title: str, limit: str, point: str, pieces: Sequence[Given], rises: bool) -> BudgetDrawing:
    """Place the bar of one budget.

    Args:
        key: Prefix of the ids.
        title: What the drawing shows.
        limit: Words at the end of the limit.
        point: Words at the end of the point.
        pieces: Pieces from the limit to the point; one of them is the margin, negative where the distance is short.
        rises: Whether the limit lies above the point.

    A short budget is drawn from both ends: what overlaps is the shortfall.
    """
    at = next(number for number, piece in enumerate(pieces) if piece.kind == "margin")
    far, margin, near = pieces[:at], pieces[at], pieces[at + 1:]
    distance = sum(piece.length for piece in pieces)
    ends = _ends(far, margin, near, distance)
    rows = [wrap(piece.name, WIDTH - TEXT - _FIGURE, BOLD_CHARACTER if piece.kind == "margin" else CHARACTER)
            for piece in pieces]
    sizes = [LINE * len(row) + _HALF_LABEL for row in rows]
    span = max(_LEAST, sum(sizes))
    low, high = min(min(pair) for pair in ends), max(max(pair) for pair in ends)
    scale = span / (high - low) if high - low > 1e-6 else 1.0

    def y(depth: float) -> float:  # depth from the limit towards the point
        share = (depth - low) * scale
        return _UPPER + (share if rises else span - share)

    segments = [Segment(piece.kind, min(y(start), y(end)), abs(y(end) - y(start)))
                for piece, (start, end) in zip(pieces, ends, strict=True)]
    order = range(len(pieces)) if rises else range(len(pieces) - 1, -1, -1)
    middles = {number: segments[number].top + segments[number].height / 2 for number in order}
    sorted_order = sorted(order, key=lambda number: middles[number])
    centres = spread([middles[number] for number in sorted_order], [sizes[number] for number in sorted_order],
                     2.0, _UPPER + span + _END)
    labels = [_label(pieces[number], rows[number], centre, sizes[number], middles[number])
              for number, centre in zip(sorted_order, centres, strict=True)]
    return BudgetDrawing(
        key, title, "; ".join(f"{piece.name} {piece.figure}" for piece in pieces), _UPPER + span + _END,
        tuple(segments), tuple(labels), y(0.0), y(distance), limit, point, margin.length < 0)


def _ends(far: Sequence[Given], margin: Given, near: Sequence[Given], distance: float) -> list[tuple[float, float]]:
    """Start and end of each piece as a depth from the limit. [m]"""
    made, depth = [], 0.0
    for piece in far:
        made.append((depth, depth + piece.length))
        depth += piece.length
    made.append((depth, depth + margin.length))
    depth = distance - sum(piece.length for piece in near)
    for piece in near:
        made.append((depth, depth + piece.length))
        depth += piece.length
    return made


def _label(piece: Given, rows: Sequence[str], centre: float, size: float, middle: float) -> Label:
    top = centre - size / 2
    lines = tuple((row, top + 14 + LINE * number) for number, row in enumerate(rows))
    return Label(lines, piece.figure, piece.kind,
                 ((RIGHT, middle), (RIGHT + 10, middle), (TEXT - 12, top + 9), (TEXT - 5, top + 9)))
