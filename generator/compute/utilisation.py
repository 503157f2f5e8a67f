"""Utilisation categories: for which kind of load a contact is rated, and how much more than its current it may make.

Source of the whole table: IEC 60947-5-1:2016, tables of normal making and breaking capacities (AC-12 to AC-15, DC-12,
DC-13); IEC 60947-4-1:2018 (AC-3). From memory. The 72 VA between AC-14 and AC-15: published supplier page, found.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

Nature = Literal["coil", "resistive"]
SMALL_COIL = 72.0
"""Largest apparent power of the electromagnets that AC-14 is meant for, held in. [VA]"""


class Category(Struct, frozen=True):
    """A utilisation category: kind of current, what it is for, and the multiple of its current that it may make."""

    kind: Literal["ac", "dc"]
    suits: tuple[Nature, ...]
    makes: float
    meant_for: str


CATEGORIES: Mapping[str, Category] = {
    "AC-12": Category("ac", ("resistive",), 1.0, "resistive loads and inputs by optocoupler"),
    "AC-13": Category("ac", ("resistive",), 2.0, "solid-state loads behind a transformer"),
    "AC-14": Category("ac", ("resistive", "coil"), 6.0, "small electromagnets, up to 72 VA"),
    "AC-15": Category("ac", ("resistive", "coil"), 10.0, "electromagnets, over 72 VA"),
    "DC-12": Category("dc", ("resistive",), 1.0, "resistive loads and inputs by optocoupler"),
    "DC-13": Category("dc", ("resistive", "coil"), 1.0, "electromagnets"),
    "AC-3": Category("ac", ("resistive", "coil"), 10.0, "cage motors, started and switched off while they run"),
}
FOR_MOTORS = "AC-3"


def apparent_power(voltage: float, current: float) -> float:
    """Apparent power of a load, as coils are rated.

    S = U I

    Args:
        voltage: Voltage, U. [V]
        current: Current, I. [A]

    Returns:
        Apparent power. [VA]

    Source: definition of apparent power, single phase.

    >>> apparent_power(230.0, 0.1)
    23.0
    """
    return voltage * current


def current_of_power(power: float, voltage: float) -> float:
    """Current of a coil from its apparent power.

    I = S / U

    Args:
        power: Apparent power, S. [VA]
        voltage: Voltage, U; above nothing. [V]

    Returns:
        Current. [A]

    Raises:
        ValueError: the voltage is not above nothing.

    Source: definition of apparent power, single phase.

    >>> current_of_power(72.0, 24.0)
    3.0
    """
    if voltage <= 0:
        raise ValueError(voltage)
    return power / voltage
