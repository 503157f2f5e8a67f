"""What crosses a link: which signals reach which functions by it, which orders which devices, which messages the screen.

A function is served by a link where the link names it under `serves`; where it names none, everything that uses what it
carries is. A permissive gives no order: it is asked where the start is given.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from generator.model.interlock import Modulating
from generator.model.scalar import Tag

if TYPE_CHECKING:
    from generator.model.plant import Definitions


class Crossing(Struct, frozen=True):
    """What crosses one link. `read` are pairs of function and point, signal or transmitter; `orders` of function and device.

    `unread` are pairs of a function that is not served and a signal that the link carries: it gets that another way.
    """

    link: str
    signals: tuple[str, ...]
    devices: tuple[str, ...]
    read: tuple[tuple[str, str], ...]
    unread: tuple[tuple[str, str], ...]
    orders: tuple[tuple[str, str], ...]
    messages: tuple[str, ...]
    """Alarms of interlocks whose message crosses it."""

    @property
    def functions(self) -> tuple[str, ...]:
        """Every function that it serves, once."""
        return tuple(dict.fromkeys((*(one for one, _ in self.read), *(one for one, _ in self.orders), *self.messages)))


def crossing(plant: "Definitions", tag: Tag) -> Crossing:
    """What crosses a link."""
    link = plant.links[tag]
    signals: dict[Tag, None] = {}
    devices: dict[Tag, None] = {}
    messages: dict[Tag, None] = {}
    for one in link.carries:
        noun = plant.noun_of[one]
        if noun in ("switches", "signals"):
            signals[one] = None
        elif noun == "instruments":
            signals |= dict.fromkeys((one, *plant.points_of[one]))
        elif noun == "interlocks":
            messages |= dict.fromkeys(plant.alarms_of[one])
        else:
            devices |= dict.fromkeys(plant.members_of(one) or (one,))
    serves = frozenset(link.serves)
    pairs = [(str(user), str(one)) for one in signals for user in readers(plant, one)]
    orders = [(str(user), str(one)) for one in devices for user in _givers(plant, one)]
    return Crossing(
        str(tag), tuple(map(str, signals)), tuple(map(str, devices)),
        tuple(pair for pair in pairs if not serves or pair[0] in serves),
        tuple(pair for pair in pairs if serves and pair[0] not in serves),
        tuple(pair for pair in orders if not serves or pair[0] in serves),
        tuple(str(one) for one in messages if not serves or one in serves))


def readers(plant: "Definitions", tag: Tag) -> Iterator[Tag]:
    """Functions that read a point, a signal or a transmitter."""
    yield from plant.interlocks_of_cause[tag]
    yield from plant.controls_of_point[tag]
    yield from (one for one, control in plant.controls.items() if isinstance(control, Modulating) and control.measures == tag)
    yield from plant.alarms_of[tag]


def _givers(plant: "Definitions", device: Tag) -> Iterator[Tag]:
    yield from (one for one in plant.interlocks_of_effect[device] if plant.interlocks[one].kind != "permissive")
    yield from plant.controls_of_element[device]
