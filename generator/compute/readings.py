"""One height read in every way: elevation, volume, percent of height, of volume and of range, current."""


from msgspec import Struct

from generator.compute.book import Book, given
from generator.compute.signals import current_of_share, share_of_range
from generator.compute.tanks import no_vessel, vessel_input
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome
from generator.model.results import TankResult
from generator.model.scalar import Tag


class Readings(Struct, frozen=True):
    """Ways to read a height. The last two are None where no transmitter carries the point."""

    elevation: Outcome
    volume: Outcome
    percent_of_height: Outcome
    percent_of_volume: Outcome
    percent_of_range: Outcome | None
    current: Outcome | None


def readings(
    plant: Definitions, tag: str, tank: TankResult, height: float | None, source: Input | None, book: Book,
) -> Readings:
    """All readings of the height at which a point stands; absences where it stands nowhere."""
    body = plant.instruments[plant.switches[Tag(tag)].in_]
    keys = {word: (f"#{tag}/{word}", f"{words} of {tag}") for word, words in (
        ("elevation", "Elevation"), ("volume", "Volume at the height"), ("percent-of-height", "Percent of height"),
        ("percent-of-volume", "Percent of volume"), ("percent-of-range", "Percent of range"), ("current", "Current"))}
    if height is None or source is None:
        absent = {word: book.absence(*key, f"the height of {tag} is not known", [f"switches/{tag}/height/issued"])
                  for word, key in keys.items() if word not in ("percent-of-range", "current") or body.range}
        return Readings(absent["elevation"], absent["volume"], absent["percent-of-height"], absent["percent-of-volume"],
                        absent.get("percent-of-range"), absent.get("current") if body.signal == "4-20 mA" else None)
    datum = plant.tanks[Tag(tank.tag)].datum.elevation
    elevation = book.record(*keys["elevation"], datum.si + height, "length", "z = z_0 + h",
                            [given(datum, "z_0", "elevation of the datum"), source])
    volume, of_height, of_volume = _of_vessel(tank, height, source, keys, book)
    share, current = None, None
    if body.range is not None:
        ends = [given(body.range.lower, r"h_{\text{lower}}", "level at 4 mA"),
                given(body.range.upper, r"h_{\text{upper}}", "level at 20 mA")]
        share, current = _of_range(body.signal == "4-20 mA", tag, height, source, ends, keys, book)
    return Readings(elevation, volume, of_height, of_volume, share, current)


def _of_vessel(
    tank: TankResult, height: float, source: Input, keys: dict[str, tuple[str, str]], book: Book,
) -> tuple[Outcome, Outcome, Outcome]:
    vessel = tank.vessel
    if vessel is None:
        return (no_vessel(*keys["volume"], tank.tag, book), no_vessel(*keys["percent-of-height"], tank.tag, book),
                no_vessel(*keys["percent-of-volume"], tank.tag, book))
    capacity = Input(r"V_{\text{full}}", f"Capacity of {tank.tag}", vessel.capacity, "volume", f"#{tank.tag}/capacity")
    volume = book.record(*keys["volume"], vessel.volume_at(height), "volume", "V = V(h)",
                         [source, vessel_input(tank.tag, vessel)])
    ends = [Input(r"h_{\text{bottom}}", "bottom of the vessel", vessel.bottom, "length", capacity.source),
            Input(r"h_{\text{top}}", "top of the vessel", vessel.top, "length", capacity.source)]
    of_height = book.record(*keys["percent-of-height"], (height - vessel.bottom) / (vessel.top - vessel.bottom), "",
                            r"p = \frac{h - h_{\text{bottom}}}{h_{\text{top}} - h_{\text{bottom}}}", [source, *ends])
    of_volume = book.record(*keys["percent-of-volume"], volume.value / vessel.capacity, "",
                            r"p = \frac{V}{V_{\text{full}}}", [volume.as_input("V"), capacity])
    return volume, of_height, of_volume


def _of_range(
    carries: bool, tag: str, height: float, source: Input, ends: list[Input], keys: dict[str, tuple[str, str]],
    book: Book,
) -> tuple[Outcome, Outcome | None]:
    lower, upper = ends
    if lower.value == upper.value:
        why, missing = "its measuring range has no width", [f"instruments of {tag}: range"]
        return (book.absence(*keys["percent-of-range"], why, missing),
                book.absence(*keys["current"], why, missing) if carries else None)
    share = book.record(*keys["percent-of-range"], share_of_range(height, lower.value, upper.value), "",
                        r"p = \frac{h - h_{\text{lower}}}{h_{\text{upper}} - h_{\text{lower}}}", [source, lower, upper])
    if not carries:
        return share, None
    equation = r"I = 4\,\text{mA} + 16\,\text{mA} \cdot p"
    return share, book.record(*keys["current"], current_of_share(share.value), "current", equation,
                              [share.as_input("p")], reference="IEC 60381-1")
