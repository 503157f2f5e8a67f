"""Places of labels beside a drawing: pushed apart, never out of order, never over each other."""

import textwrap
from collections.abc import Sequence
from itertools import pairwise

CHARACTER = 7.6
"""Width allowed for a character of 13 px text. System fonts differ; this is that of a wide one."""
BOLD_CHARACTER = 8.6
"""Width allowed for a character of 13 px bold or equally spaced text."""
LINE = 17.0
"""Distance between two lines of 13 px text."""


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> tuple[float, ...]:
    """Centres of boxes that stand in one column in a given order, each as near its wanted place as the others allow.

    Boxes that would overlap become a block, and a block stands at the mean of what its members want: the sum of squared
    shifts is least. Blocks are then pushed inside the column, which keeps them the nearest places that fit.

    Args:
        wanted: Centre that each box wants, in the order of the column.
        sizes: Height of each box.
        low: Upper end of the column.
        high: Lower end of the column.

    Returns:
        Centre of each box, in the same order.

    Raises:
        ValueError: wanted and sizes differ in number, or the boxes need more than the column has.

    >>> spread([10.0, 10.0], [20.0, 20.0], -100.0, 100.0)
    (0.0, 20.0)
    """
    if len(wanted) != len(sizes):
        raise ValueError("a size belongs to each wanted place")
    if not wanted:
        return ()
    if sum(sizes) > high - low + 1e-6:
        raise ValueError("the column is too short for its boxes")
    offsets = [sizes[0] / 2]
    for above, here in pairwise(sizes):
        offsets.append(offsets[-1] + (above + here) / 2)
    # With its offset taken away, each box wants a place that may not fall below that of the box before it.
    places = _rising([want - offset for want, offset in zip(wanted, offsets, strict=True)])
    last = max(low, high - sum(sizes))
    return tuple(min(max(place, low), last) + offset for place, offset in zip(places, offsets, strict=True))


def _rising(values: Sequence[float]) -> list[float]:
    """The nearest row of numbers that never falls (least squares), by pooling adjacent violators."""
    blocks: list[tuple[float, int]] = []
    for value in values:
        mean, count = value, 1
        while blocks and blocks[-1][0] > mean:
            before, members = blocks.pop()
            mean = (before * members + mean * count) / (members + count)
            count += members
        blocks.append((mean, count))
    return [mean for mean, count in blocks for _ in range(count)]


def wrap(text: str, width: float, character: float = CHARACTER) -> tuple[str, ...]:
    """Text in lines that fit a width; a word that is longer than a line is cut, never dropped."""
    return tuple(textwrap.wrap(text, max(4, int(width // character)), break_on_hyphens=False))
