"""The book of records."""

import pytest

from generator.compute.book import Book, KeyUsedTwiceError
from generator.model.record import Absence


def test_a_key_used_twice_is_a_fault_of_the_generator() -> None:
    book = Book()
    book.record("#A/x", "x", 1.0, "length", "x")
    with pytest.raises(KeyUsedTwiceError):
        book.absence("#A/x", "x", "again")


def test_absences_hand_on_reasons_and_fields() -> None:
    book = Book()
    one = book.absence("#A/x", "x", "no y", ["y"])
    other = book.absence("#A/z", "z", "no w", ["w", "y"])
    known = book.record("#A/k", "k", 1.0, "length", "k")
    follows = book.lacking("#A/r", "r", [one, known, other])
    assert follows == Absence("#A/r", "r", "x: no y; z: no w", ("y", "w"))
    assert book.lacking("#A/s", "s", [known]) is None
    assert list(book.outcomes) == ["#A/x", "#A/z", "#A/k", "#A/r"]
