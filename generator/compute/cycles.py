"""Active volume that keeps a pump from starting too often, and the limit of its starts."""

from generator.model.knowledge import Knowledge
from generator.model.machine import Pump
from generator.model.plant import Definitions
from generator.model.record import Input
from generator.model.scalar import Tag

WORST_EQUATION = r"V = \frac{T Q_p}{4}"
REAL_EQUATION = r"V = \frac{T}{\frac{1}{Q_i} + \frac{1}{Q_p - Q_i}}"
VALIDITY = "one pump of constant flow, steady inflow"
REFERENCE = "US Army EI 11C201 (1997), chapter 7, V = t q / 4; MIL-HDBK-1005/9A, 2.5.3.6"


def cycle_volume(pump_flow: float, cycle: float, largest_inflow: float | None = None) -> float:
    """Volume between start and stop that makes the shortest cycle as long as wanted.

    T = V / Qi + V / (Qp - Qi) is shortest at Qi = Qp / 2, so V = T Qp / 4; where the inflow never reaches Qp / 2,
    V = T / (1 / Qi + 1 / (Qp - Qi)).

    Args:
        pump_flow: Flow of the pump, Qp. [m3/s]
        cycle: Shortest time from start to start, T. [s]
        largest_inflow: Largest inflow that occurs, Qi; unknown or at least Qp / 2 means the worst one. [m3/s]

    Returns:
        Volume between the edges of start and stop. [m3]

    Raises:
        ValueError: pump_flow or cycle is not positive.

    Valid for one pump of constant flow and a steady inflow.
    Source: US Army EI 11C201 (1997), chapter 7, V = t q / 4; MIL-HDBK-1005/9A, 2.5.3.6.

    >>> round(cycle_volume(0.045, 600.0), 6)
    6.75
    """
    if pump_flow <= 0 or cycle <= 0:
        raise ValueError((pump_flow, cycle))
    if largest_inflow is None or not 0 < largest_inflow < pump_flow / 2:
        return cycle * pump_flow / 4
    return cycle / (1 / largest_inflow + 1 / (pump_flow - largest_inflow))


def largest_inflow(volume: float, pump_flow: float, cycle: float) -> float | None:
    """The largest inflow at which a pump's cycle is still long enough, where half its flow is too much already.

    V / Qi + V / (Qp - Qi) = T  gives  Qi = (Qp - sqrt(Qp^2 - 4 V Qp / T)) / 2

    Args:
        volume: Volume between the edges of start and stop, V. [m3]
        pump_flow: Flow of the pump, Qp. [m3/s]
        cycle: Shortest time from start to start, T. [s]

    Returns:
        The inflow; None where the volume suffices for half the pump's flow, and so for any inflow. [m3/s]

    Raises:
        ValueError: pump_flow or cycle is not positive.

    Valid for one pump of constant flow and a steady inflow.
    Source: MIL-HDBK-1005/9A, 2.5.3.6, equation 1, solved for the inflow.

    >>> round(largest_inflow(6.75, 0.045, 800.0), 5)
    0.01125
    >>> largest_inflow(6.75, 0.045, 600.0)
    """
    if pump_flow <= 0 or cycle <= 0:
        raise ValueError((pump_flow, cycle))
    rest = pump_flow**2 - 4 * max(0.0, volume) * pump_flow / cycle
    return None if rest <= 1e-12 * pump_flow**2 else (pump_flow - rest**0.5) / 2


def largest_pump_flow(volume: float, inflow: float | None, cycle: float) -> float | None:
    """The largest pump whose cycle is still long enough.

    Qp = 4 V / T  while the inflow can be half of that;  Qp = Qi^2 / (Qi - V / T)  where it stays below.

    Args:
        volume: Volume between the edges of start and stop, V. [m3]
        inflow: Largest inflow that occurs, Qi; None where it is not known. [m3/s]
        cycle: Shortest time from start to start, T. [s]

    Returns:
        Flow of the pump; None where the inflow alone takes as long as the cycle to fill the volume. [m3/s]

    Raises:
        ValueError: cycle is not positive.

    Valid for one pump of constant flow and a steady inflow.
    Source: MIL-HDBK-1005/9A, 2.5.3.6, equations 1 and 2, solved for the pump's flow.

    >>> round(largest_pump_flow(6.75, None, 600.0), 6), round(largest_pump_flow(6.75, 0.01125, 800.0), 6)
    (0.045, 0.045)
    >>> largest_pump_flow(6.75, 0.01, 600.0)
    """
    if cycle <= 0:
        raise ValueError(cycle)
    rate = max(0.0, volume) / cycle
    if not inflow or 2 * rate <= inflow:
        return 4 * rate
    return None if rate >= inflow else inflow**2 / (inflow - rate)


def starts_limit(plant: Definitions, knowledge: Knowledge, pump: str) -> Input | None:
    """Most starts of a pump in a time [1/s]: its motor's own, else those of the plant's table; else unknown."""
    machine: Pump = plant.pumps[Tag(pump)]
    if machine.motor is None:
        return None
    if machine.motor.starts is not None:
        return Input("n", f"most starts of {pump}", machine.motor.starts.si, "rate", machine.motor.starts.place)
    rule = knowledge.rules.get(plant.plant.starts_rule or "")
    if rule is None:
        return None
    cycle = next((cycle for power, cycle in rule.cycles if machine.motor.power.si <= power), None)
    return None if not cycle else Input("n", f"most starts of {pump}, {rule.title}", 1 / cycle, "rate", rule.standard)
