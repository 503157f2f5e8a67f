"""Nozzles on the level drawing: a short pipe at the wall, the roof or the floor, with its name."""

from collections.abc import Iterator, Sequence

from generator.draw.drawing import Layout, NozzleMark, Stub
from generator.draw.labels import BOLD_CHARACTER, spread
from generator.draw.shapes import Outline

_PIPE = 12.0
_ROW = 16.0
_GAP = 10.0
_NEAR = 0.02
"""A face so little beyond the vessel is drawn where it is. [m]"""


def stubs(nozzles: Sequence[NozzleMark], drawn: Outline, layout: Layout) -> tuple[Stub, ...]:
    """Places of a tank's nozzles. One on the wall without a height is left to the table beside the drawing."""
    wall = sorted((nozzle for nozzle in nozzles if nozzle.on == "wall" and nozzle.height is not None),
                  key=lambda nozzle: -(nozzle.height or 0.0))
    return (*_wall(wall, drawn, layout), *_ends([one for one in nozzles if one.on == "roof"], drawn, -1),
            *_ends([one for one in nozzles if one.on == "floor"], drawn, 1))


def _wall(nozzles: Sequence[NozzleMark], drawn: Outline, layout: Layout) -> Iterator[Stub]:
    """Names in a column left of the wall, pushed apart where nozzles stand close together."""
    frame = drawn.frame
    heights = [frame.y(nozzle.height or 0.0) for nozzle in nozzles]
    slack = max(0.0, _ROW * len(nozzles) - (frame.lower - frame.upper + _ROW))
    places = spread(heights, [_ROW] * len(nozzles), frame.upper - _ROW, frame.lower + _ROW + slack)
    for nozzle, y, place in zip(nozzles, heights, places, strict=True):
        wall, _ = drawn.edges(nozzle.height or 0.0)
        name = layout.left - 20
        points = ((name, place), (name + 6, place), (wall - _PIPE, y), (wall, y))
        yield Stub(nozzle.name, points, name - 4, place + 4.5, "end")


def _ends(nozzles: Sequence[NozzleMark], drawn: Outline, way: int) -> Iterator[Stub]:
    """Names in a row over the roof (-1) or under the floor (+1); in one text where they would not fit side by side.

    A pipe reaches no further than the row of names; of one whose face stands beyond the vessel the height is said. Seen
    from the end of a lying cylinder, they stand one behind the other on its middle line.
    """
    if not nozzles:
        return
    names = [_said(nozzle, drawn, way) for nozzle in nozzles]
    middle, half = drawn.frame.middle, drawn.widest * 0.8
    end = drawn.frame.y(drawn.top if way < 0 else drawn.bottom) + way * _PIPE
    text_y = end + (-4 if way < 0 else 14)
    if drawn.is_from_end:
        yield Stub(names[0] if len(names) == 1 else _together(nozzles, names, way),
                   ((middle, end), (middle, _wall_y(drawn, middle, way))), middle, text_y, "middle")
        return
    step = 2 * half / (len(nozzles) + 1)
    if step < max(map(len, names)) * BOLD_CHARACTER + _GAP:
        x = middle + half * 0.3
        yield Stub(_together(nozzles, names, way), ((x, end), (x, _wall_y(drawn, x, way))), middle, text_y,
                   "middle")
        return
    for number, name in enumerate(names, start=1):
        x = middle - half + step * number
        yield Stub(name, ((x, end), (x, _wall_y(drawn, x, way))), x, text_y, "middle")


def _said(nozzle: NozzleMark, drawn: Outline, way: int) -> str:
    """The name of a nozzle; with its height where that is not where its pipe is drawn."""
    end = drawn.top if way < 0 else drawn.bottom
    beyond = nozzle.height is not None and (end - nozzle.height) * way > _NEAR
    return f"{nozzle.name} at {nozzle.height:.2f} m" if beyond else nozzle.name


def _together(nozzles: Sequence[NozzleMark], names: Sequence[str], way: int) -> str:
    """Names in one text, with the height of the farthest where one stands beyond the vessel."""
    plain = " ".join(nozzle.name for nozzle in nozzles)
    heights = [nozzle.height for nozzle, name in zip(nozzles, names, strict=True) if name != nozzle.name and nozzle.height]
    if not heights:
        return plain
    return f"{plain} up to {max(heights):.2f} m" if way < 0 else f"{plain} down to {min(heights):.2f} m"


def _wall_y(drawn: Outline, x: float, way: int) -> float:
    """Where an upright line at x meets the roof or the floor."""
    reached = [height for height in drawn.heights if drawn.wall(height) >= abs(x - drawn.frame.middle) - 1e-6]
    if way > 0 and drawn.fall:
        share = (x - drawn.frame.middle + drawn.wall(drawn.bottom)) / (2 * drawn.wall(drawn.bottom))
        return drawn.frame.y(drawn.bottom + drawn.fall * min(max(share, 0.0), 1.0))
    return drawn.frame.y(max(reached) if way < 0 else min(reached))
