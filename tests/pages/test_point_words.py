"""What a point brings about: a permissive that needs it clear is lost when it acts."""

from generator.model.page import plain
from generator.pages import point_words
from tests.pages import plants


def test_a_permissive_that_needs_a_clear_point_is_lost_when_the_point_acts() -> None:
    context = plants.context(plants.DEMO)
    assert context.plant.interlocks["I-411"].when.senses("LSH-411") == {False}
    words = plain(point_words.does(context, "LSH-411"))
    assert "XV-410 may no longer open" in words


def test_every_permissive_of_the_demo_says_the_sense_of_its_condition() -> None:
    context = plants.context(plants.DEMO)
    for tag, lock in context.plant.interlocks.items():
        if lock.kind != "permissive":
            continue
        for point in set(lock.when.tags()) & set(context.plant.switches):
            words = plain(point_words.does(context, point))
            lost = lock.when.senses(point) == {False}
            assert any(f"{target} may no longer" in words for target in lock.then) == lost, (tag, point, words)
