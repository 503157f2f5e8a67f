"""The register of contending pairs, against the definitions read anew."""

from generator.model.page import plain
from generator.pages import contending
from tests.pages.plants import DEMO, context


def test_every_pair_that_wants_a_device_in_two_states_is_listed_with_its_stated_winner() -> None:
    made = context(DEMO)
    plant = made.plant
    expected = set()
    for first, one in plant.interlocks.items():
        for second, other in plant.interlocks.items():
            if first >= second or "permissive" in (one.kind, other.kind):
                continue
            for target, state in one.then.items():
                for element in plant.members_of(target) or (target,):
                    for against, wanted in other.then.items():
                        if element in (against, *plant.members_of(against)) and wanted != state:
                            expected.add((element, frozenset((first, second))))
    found = {(device, frozenset((one, other))) for device, one, _, other, _ in contending.pairs(made)}
    assert found == expected and expected
    (page,) = contending.pages(made)
    rows = [row for group in page.view.groups for row in group.rows]
    assert len(rows) == len(expected)
    for (device, one, _, other, _), row in zip(contending.pairs(made), rows, strict=True):
        stated = [tag for tag, loser in ((one, other), (other, one)) if loser in plant.interlocks[tag].wins_over]
        assert plain(row.cells[5].parts) == (stated[0] if len(stated) == 1 else "not stated"), device
