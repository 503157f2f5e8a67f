"""Bands: between which heights a point acts and lets go, from its error, the waves and its differential.

Error counts either way. A wave reaches a point before the mean level does, so it makes the point act early by up to
half its height. It makes the point act late only where the action waits for lasting contact (an on-delay of the
point, of its alarm, of an interlock that rests on it, or a time held in its condition), since a trough then breaks the
contact.

                      lower edge                              upper edge
    acts rising       h - own - common - wave      (early)    h + own + common (+ wave if it waits)   (late)
    acts falling      h - own - common (- wave if it waits)   h + own + common + wave                 (early)
                                                   (late)

The point lets go its differential away from where it acts, on the level's way back, so the reset band is that of the
other direction, without a delay. Mirroring the tank mirrors both bands.
"""

from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from generator.compute.book import Book
from generator.compute.causes import level_causes
from generator.compute.inherited import accuracy, waves
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.quantity import Duration, Quantity
from generator.model.record import Input, Outcome, Record
from generator.model.results import Band
from generator.model.scalar import Tag

Acts = Literal["rising", "falling"]
Side = Literal["low", "high"]


class Point(Struct, frozen=True):
    """What decides the edges of a point. `wave` is half the height of the waves, None where none are stated."""

    tag: str
    tank: str
    body: str
    acts: Acts
    own: Outcome
    common: Outcome
    wave: Record | None
    waits: bool

    def spread(self, side: Side, same_body: bool = False, acts: Acts | None = None, waits: bool | None = None
               ) -> tuple[Input, ...] | None:
        """What an edge is away from the height, term by term; None where the error is not known.

        Args:
            side: The edge.
            same_body: Whether it is compared with another point of the same body; the common error then cancels.
            acts: Direction of the action; the point's own where left out.
            waits: Whether the action waits for lasting contact; as for the point where left out.
        """
        if not isinstance(self.own, Record) or not isinstance(self.common, Record):
            return None
        terms = [self.own.as_input(rf"e_{{\text{{{self.tag}}}}}")]
        if not same_body and self.common.value:
            terms.append(self.common.as_input(rf"c_{{\text{{{self.tag}}}}}"))
        is_early = (side == "low") == ((acts or self.acts) == "rising")
        if self.wave is not None and (is_early or (self.waits if waits is None else waits)):
            terms.append(self.wave.as_input("w"))
        return tuple(terms)

    def edge_records(self, source: Input, differential: Input | None, book: Book) -> None:
        """Enter the edges of its action, and where its differential is known those of its return."""
        edges(self.tag, "act", source, None, self.spread("low"), self.spread("high"), book)
        if differential is not None:
            back: Acts = "falling" if self.acts == "rising" else "rising"
            signed = replace(differential, value=-differential.value if self.acts == "rising" else differential.value)
            edges(self.tag, "reset", source, signed, self.spread("low", acts=back, waits=False),
                  self.spread("high", acts=back, waits=False), book)

    def act(self, height: float) -> Band | None:
        """Where the point can act when it is set to a height. [m]"""
        return _band(height, self.spread("low"), self.spread("high"))

    def reset(self, height: float, differential: float) -> Band | None:
        """Where the point can let go again. [m]"""
        back: Acts = "falling" if self.acts == "rising" else "rising"
        centre = height - differential if self.acts == "rising" else height + differential
        return _band(centre, self.spread("low", acts=back, waits=False), self.spread("high", acts=back, waits=False))


def edges(tag: str, action: str, source: Input, back: Input | None, down: Sequence[Input] | None,
          up: Sequence[Input] | None, book: Book) -> tuple[Outcome, Outcome]:
    """Lower and upper edge of a band as records: where a point acts, or lets go (`back` is then its differential).

    Args:
        tag: The point.
        action: "act" or "reset".
        source: The height at which it stands.
        back: How far it comes back before it lets go, signed; None for the edges of its action.
        down: What the lower edge is away from the centre.
        up: What the upper edge is away.
        book: Where they are entered.
    """
    said = "acts" if action == "act" else "lets go"
    made: list[Outcome] = []
    for side, terms, sign, mark in (("low", down, -1, "-"), ("high", up, 1, "+")):
        key, name = f"#{tag}/{action}-{side}", f"{'Lowest' if side == 'low' else 'Highest'} level at which {tag} {said}"
        if terms is None:
            made.append(book.absence(key, name, "no accuracy is given",
                                     [f"switches/{tag}/accuracy", f"instruments of {tag}/accuracy"]))
            continue
        centre = source.value + (back.value if back else 0.0)
        returned = f" {'+' if back.value >= 0 else '-'} {back.symbol}" if back else ""
        equation = rf"h_{{\text{{{side}}}}} = {source.symbol}{returned}"
        inputs = (source, *((Input(back.symbol, back.name, abs(back.value), back.dimension, back.source),) if back else ()),
                  *terms)
        made.append(book.record(key, name, centre + sign * sum(term.value for term in terms), "length",
                                equation + "".join(f" {mark} {term.symbol}" for term in terms), inputs))
    return made[0], made[1]


def _band(height: float, down: Sequence[Input] | None, up: Sequence[Input] | None) -> Band | None:
    if down is None or up is None:
        return None
    return Band(height - sum(term.value for term in down), height + sum(term.value for term in up))


def wave(plant: Definitions, tank: str, book: Book) -> Record | None:
    """Half the height of the waves in a tank; None where none are stated."""
    stated = waves(plant, tank)
    if stated is None:
        return None
    height = stated.peak_to_peak
    crest = Input(r"w_{\text{pp}}", "waves, trough to crest", height.si, "length", placed(height.place, stated.place))
    return book.record(f"#{tank}/wave", f"Half the wave height in {tank}", height.si / 2, "length",
                       r"w = \frac{w_{\text{pp}}}{2}", [crest])


def placed(own: Place, block: Place) -> Place:
    """The place of a value, with the way it came down where its block was inherited."""
    return own.through(block.via) if block.via and not own.via else own


def point(plant: Definitions, tag: str, half_wave: Record | None, book: Book) -> Point:
    """What decides the edges of a point; its errors enter the book."""
    switch = plant.switches[Tag(tag)]
    stated = accuracy(plant, tag)
    own_key, own_name = f"#{tag}/error-own", f"Own error of {tag}"
    common_key, common_name = f"#{tag}/error-common", f"Error that {tag} shares with its body"
    own: Outcome
    common: Outcome
    if stated is None:
        missing = (f"switches/{tag}/accuracy", f"instruments/{switch.in_}/accuracy")
        own = book.absence(own_key, own_name, "no accuracy is given", missing)
        common = book.absence(common_key, common_name, "no accuracy is given", missing)
    else:
        own = book.record(own_key, own_name, stated.own.si, "length", "e", [_placed(stated.own, "e", stated.place)])
        if stated.common is None:
            common = book.record(common_key, common_name, 0.0, "length", "c = 0",
                                 note="none is stated: the whole error counts as the point's own, none cancels")
        else:
            common = book.record(common_key, common_name, stated.common.si, "length", "c",
                                 [_placed(stated.common, "c", stated.place)])
    return Point(tag, str(plant.tank_of(tag)), str(switch.in_), switch.acts, own, common, half_wave,
                 any(delay is not None and delay.si > 0 for delay in _delays(plant, tag)))


def _delays(plant: Definitions, tag: str) -> Iterator[Duration | None]:
    """Every delay that wants the contact of a point to last: its own, and those of what rests on it."""
    yield plant.switches[Tag(tag)].on_delay
    for name in plant.interlocks_of_cause[tag]:
        lock = plant.interlocks[name]
        yield lock.on_delay
        for cause in level_causes(plant, lock.when):
            if cause.tag == tag and not cause.is_negated:
                yield from cause.held
    for alarm in plant.alarms_of[tag]:
        yield plant.alarms[alarm].on_delay


def _placed(quantity: Quantity, symbol: str, block: Place) -> Input:
    return Input(symbol, "error, either way", quantity.si, quantity.dimension, placed(quantity.place, block))
