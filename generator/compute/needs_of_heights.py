"""Needs that are judged by heights alone: at, above, below, covers."""

from generator.compute.asked import About, Asked
from generator.compute.book import given
from generator.compute.heights import Edge, Unknown
from generator.model.need import Above, At, Below, Covers
from generator.model.quantity import Length, Percent, Quantity, Volume
from generator.model.record import Input
from generator.model.scalar import Tag


def at(need: At, about: About) -> Asked | Unknown:
    """The point stands at a height, a volume held, or a share."""
    value = need.at.value
    if isinstance(value, Length):
        return Asked(value.si, r"h_{\text{at}}", (given(value, r"h_{\text{at}}", "height asked for"),))
    if isinstance(value, Percent) and value.of == "range":
        return _at_share_of_range(value, about)
    vessel = about.vessel()
    if isinstance(vessel, Unknown):
        return vessel
    capacity = Input("V", f"Capacity of {about.tank.tag}", vessel.capacity, "volume", f"#{about.tank.tag}/capacity")
    if isinstance(value, Volume):
        return Asked(vessel.level_at(value.si), r"V^{-1}\left( V_{\text{at}} \right)",
                     (given(value, r"V_{\text{at}}", "volume asked for"), capacity))
    share = Input("p", f"share asked for, of {value.of}", value.fraction, "", value.place)
    if value.of == "volume":
        return Asked(vessel.level_at(value.fraction * vessel.capacity), r"V^{-1}\left( p V \right)", (share, capacity))
    ends = (Input(r"h_{\text{bottom}}", "bottom of the vessel", vessel.bottom, "length", capacity.source),
            Input(r"h_{\text{top}}", "top of the vessel", vessel.top, "length", capacity.source))
    return Asked(vessel.bottom + value.fraction * (vessel.top - vessel.bottom),
                 r"h_{\text{bottom}} + p \left( h_{\text{top}} - h_{\text{bottom}} \right)", (share, *ends))


def _at_share_of_range(value: Percent, about: About) -> Asked | Unknown:
    measuring = about.plant.instruments[Tag(about.point.body)].range
    if measuring is None:
        return Unknown(f"{about.point.body} has no measuring range", (f"instruments/{about.point.body}/range",))
    return Asked(measuring.lower.si + value.fraction * (measuring.upper.si - measuring.lower.si),
                 r"h_{\text{lower}} + p \left( h_{\text{upper}} - h_{\text{lower}} \right)",
                 (Input("p", "share asked for, of range", value.fraction, "", value.place),
                  given(measuring.lower, r"h_{\text{lower}}", "level at 4 mA"),
                  given(measuring.upper, r"h_{\text{upper}}", "level at 20 mA")))


def above(need: Above, about: About) -> Asked | Unknown:
    """The lower edge of the point stands a margin above the upper edge of a level."""
    return _apart(about.edge(need.above, "at least"), need.by, 1, about.is_on_same_body(need.above))


def covers(need: Covers, about: About) -> Asked | Unknown:
    """The lower edge of the point stands a depth above what must stay covered."""
    return _apart(about.edge(need.covers, "at least"), need.by, 1, about.is_on_same_body(need.covers))


def below(need: Below, about: About) -> Asked | Unknown:
    """The upper edge of the point stands a margin below the lower edge of a level."""
    return _apart(about.edge(need.below, "at most"), need.by, -1, about.is_on_same_body(need.below))


def _apart(edge: Edge | Unknown, margin: Quantity | None, sign: int, same_body: bool) -> Asked | Unknown:
    if isinstance(edge, Unknown):
        return edge
    if margin is None:
        return Asked(edge.height, edge.expression, edge.terms, same_body)
    mark = "+" if sign > 0 else "-"
    return Asked(edge.height + sign * margin.si, f"{edge.expression} {mark} m",
                 (*edge.terms, given(margin, "m", "margin")), same_body)
