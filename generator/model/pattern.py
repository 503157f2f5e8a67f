"""Patterns: repetition without a programming language. Blanks, what they make, and a table of rows."""

from typing import Any

from pydantic import Field

from generator.model.definition import Definition
from generator.model.scalar import Prose, Text


class Pattern(Definition):
    """Definitions that repeat: written once with blanks, filled in from each row.

    A blank stands as `<name>`: as a whole key, as a whole value, or inside a longer value. There are no loops, no
    expressions, and no pattern inside a pattern.
    """

    about: Prose | None = None
    """What it repeats."""
    blanks: tuple[Text, ...] = Field(min_length=1)
    """Names of the blanks, in small letters."""
    makes: dict[Text, Any] = Field(min_length=1)
    """Nouns with their members, as anywhere else, with blanks in them."""
    rows: tuple[dict[Text, Text], ...] = Field(min_length=1)
    """One row for each repetition: a value for each blank."""
