"""Figures of the liquid and the place against the device's own ratings and the site's limits."""

from collections.abc import Callable, Mapping

from generator.compute.conductivity import coldest
from generator.compute.suited_facts import FROST, Figure, Place
from generator.compute.suited_streams import beyond
from generator.model.device import Judgement
from generator.model.instrument import Ratings
from generator.model.knowledge import Criterion
from generator.model.quantity import Quantity, written
from generator.model.record import value_of
from generator.model.results import TankResult
from generator.model.tank import Tank

_SHOWN = {
    "density": "kg/m3", "conductivity": "uS/cm", "viscosity": "mPa s", "temperature": "degC",
    "gauge pressure": "bar gauge", "absolute pressure": "kPa abs", "length": "m",
}


def shown(value: float, dimension: str) -> str:
    """An SI value in the unit in which the trade says it."""
    if dimension not in _SHOWN:
        return f"{value:.4g}"
    return f"{written(value, _SHOWN[dimension]):.4g} {_SHOWN[dimension]}"


def _span(name: str, end: str) -> Callable[[Place, TankResult | None], Figure]:
    def figure(place: Place, _result: TankResult | None) -> Figure:
        span = getattr(place.liquid, name)
        if span is None:
            return Figure(missing=f"{place.liquid_tag}: {name}")
        quantity: Quantity = getattr(span, end)
        return Figure(quantity.si, quantity.dimension)
    return figure


def _conductivity(place: Place, _result: TankResult | None) -> Figure:
    lowest = coldest(place.liquid)
    if lowest.value is None:
        return Figure(missing=f"{place.liquid_tag}: {lowest.missing}")
    return Figure(lowest.value, "conductivity", note=lowest.note)


def _viscosity(place: Place, _result: TankResult | None) -> Figure:
    value = place.liquid.viscosity
    return Figure(value.si, value.dimension) if value else Figure(missing=f"{place.liquid_tag}: viscosity")


def _dielectric(place: Place, _result: TankResult | None) -> Figure:
    value = place.liquid.dielectric_constant
    return Figure(value) if value is not None else Figure(missing=f"{place.liquid_tag}: dielectric_constant")


def _cold(place: Place, result: TankResult | None) -> Figure:
    lowest = _span("temperature", "lowest")(place, result)
    if lowest.value is not None and lowest.value >= FROST:
        return Figure(skip="the liquid never comes under 0 degC")
    return lowest


def _cleaning(place: Place, _result: TankResult | None) -> Figure:
    tank = place.tank
    if tank is None:
        return Figure(skip="no tank is looked at")
    if tank.cleaned_with is None:
        return Figure(missing=f"{place.tank_tag}: cleaned_with")
    if not set(tank.cleaned_with) - {"none", "water"} and tank.cleaning_temperature is None:
        return Figure(skip="the tank is not cleaned hot")
    if tank.cleaning_temperature is None:
        return Figure(missing=f"{place.tank_tag}: cleaning_temperature")
    return Figure(tank.cleaning_temperature.si, "temperature")


def _pressure(place: Place, _result: TankResult | None) -> Figure:
    tank = place.tank
    pressure = tank.design_pressure if tank else None
    if pressure is not None and pressure.si <= 0:
        return Figure(skip="no pressure stands over the liquid")
    if tank is None or pressure is None:
        if tank is None or is_open(tank):
            return Figure(skip="the tank is open to the air and no pressure is recorded")
        return Figure(missing=f"{place.tank_tag}: design_pressure")
    return Figure(pressure.si, pressure.dimension)


def is_open(tank: Tank) -> bool:
    """Whether liquid or air is known to leave the tank freely, so that no pressure can stand over the liquid."""
    return (tank.overflow is not None or tank.levels.overflow is not None or bool(tank.surroundings.open_water)
            or bool(tank.surroundings.wet_well))


def _vacuum(place: Place, _result: TankResult | None) -> Figure:
    pressure = place.tank.lowest_pressure if place.tank else None
    if pressure is None:
        return Figure(skip="no pressure under that of the air is recorded")
    return Figure(pressure.si, pressure.dimension)


def _immersion(place: Place, result: TankResult | None) -> Figure:
    """Deepest liquid over the body: from the bottom, or its lowest reach, to where liquid leaves the tank."""
    if place.tank is None or result is None:
        return Figure(skip="no tank is looked at")
    top = value_of(result.ceiling)
    if top is None and result.vessel is not None:
        top = result.vessel.top
    low = place.body.reach.lowest.si if place.body is not None and place.body.reach is not None else None
    if low is None and result.vessel is not None:
        low = result.vessel.bottom
    if top is None or low is None:
        return Figure(missing=f"{place.tank_tag}: levels")
    return Figure(max(top - low, 0.0), "length")


FIGURES: Mapping[str, Callable[[Place, TankResult | None], Figure]] = {
    "density": _span("density", "lowest"), "conductivity": _conductivity, "viscosity": _viscosity,
    "dielectric constant": _dielectric, "temperature": _span("temperature", "highest"), "cold": _cold,
    "hot stream": lambda place, _: beyond(place, "highest"), "cold stream": lambda place, _: beyond(place, "lowest"),
    "cleaning temperature": _cleaning, "pressure": _pressure, "vacuum": _vacuum, "immersion": _immersion,
}
"""The figure of each criterion in knowledge/criteria.yml."""


def judged(criterion: Criterion, place: Place, result: TankResult | None, limits: tuple[tuple[Ratings, str], ...]
           ) -> Judgement:
    """One criterion: the figure against the device's own rating and against each limit of the site.

    Args:
        criterion: Which figure, which rating, and in what sense.
        place: The device in its tank.
        result: What is worked out for the tank.
        limits: Limits of the site beside the device's own ratings, each with where it stands.
    """
    figure = FIGURES[criterion.name](place, result)
    if figure.skip:
        return Judgement(criterion.name, criterion.title, "does not apply", figure.skip, basis=criterion.basis)
    own = rating(place.body.ratings if place.body else None, criterion.rating)
    missing = [field for field in (figure.missing, "" if own is not None else f"{place.body_tag}: ratings."
                                   f"{criterion.rating}") if field]
    value = figure.value
    site = [(limit, where) for ratings, where in limits if (limit := rating(ratings, criterion.rating)) is not None]
    if value is not None:
        for limit, whose in ([(own, "rated")] if own is not None else []) + site:
            bad = value < limit if criterion.sense == "at least" else value > limit
            if bad:
                said = _said(figure, limit, criterion.sense, whose)
                return Judgement(criterion.name, criterion.title, "fail", f"{said}; {criterion.because}",
                                 f"{shown(value, figure.dimension)}, {whose} {shown(limit, figure.dimension)}",
                                 basis=criterion.basis)
    if missing or value is None or own is None:
        return Judgement(criterion.name, criterion.title, "cannot be assessed", "not recorded: " + ", ".join(missing),
                         missing=tuple(missing), basis=criterion.basis)
    return Judgement(criterion.name, criterion.title, "pass", _said(figure, own, criterion.sense, "rated"),
                     basis=criterion.basis)


def rating(ratings: Ratings | None, name: str) -> float | None:
    """A rating or limit by its name, in SI; None where it is not stated."""
    value = getattr(ratings, name) if ratings is not None else None
    return value.si if isinstance(value, Quantity) else value


def _said(figure: Figure, limit: float, sense: str, whose: str) -> str:
    word = "at least" if sense == "at least" else "up to"
    note = f" ({figure.note})" if figure.note else ""
    return f"{shown(figure.value or 0.0, figure.dimension)}{note}, {whose} {word} {shown(limit, figure.dimension)}"
