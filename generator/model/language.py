"""The reference of the definitions language, read off the model and the reference plant."""

from collections.abc import Callable

from msgspec import Struct


class KeyEntry(Struct, frozen=True):
    """One key of a block: what it means, what must stand at it, and a line that uses it.

    `blocks` are the names of the blocks that may stand at it, so that a page can link to them.
    """

    key: str
    means: str
    form: str
    is_required: bool
    default: str
    example: str
    blocks: tuple[str, ...] = ()
    listed: str = ""
    """The list on the first page of the reference that says what may stand there: "levels", "states", "values"."""


class BlockEntry(Struct, frozen=True):
    """A block of keys."""

    name: str
    means: str
    keys: tuple[KeyEntry, ...]


class NounEntry(Struct, frozen=True):
    """A noun at the top of a file: its own block or blocks first, then every block below it."""

    noun: str
    means: str
    form: str
    blocks: tuple[BlockEntry, ...]
    example: str


class Language(Struct, frozen=True):
    """The whole language: nouns in order, accepted units by dimension, the schema for editors."""

    nouns: tuple[NounEntry, ...] = ()
    units: tuple[tuple[str, tuple[str, ...]], ...] = ()
    levels: tuple[tuple[str, str], ...] = ()
    """Names of levels that every tank may have, each with its meaning."""
    states: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Nouns of final elements, each with the states that it can be driven to."""
    schema: Callable[[], dict[str, object]] = dict
    """Makes the schema, which few ask for."""
