"""Printed equations."""

import re
from itertools import chain

from generator.compute.equations import _LYING_END
from generator.render.equation import mathml


def test_no_printed_equation_has_an_empty_row() -> None:
    """Two breaks between the cases of a torispherical end once made a row with nothing in it."""
    printed = [mathml(one) for volume, parts in _LYING_END.values() for one in chain((volume,), parts) if one]
    rows = [row for one in printed for row in re.findall(r"<mtr>(.*?)</mtr>", one)]
    assert rows and all("<mi>" in row for row in rows)
