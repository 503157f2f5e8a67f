"""The cycle of pumps that start and stop on levels, as formulas."""

from collections.abc import Sequence
from itertools import accumulate

REFERENCE = "MIL-HDBK-1005/9A, 2.5.3.6, equations 1 and 2; USACE EI 11C201, chapter 7"


def cycle_time(volume: float, pump_flow: float, inflow: float) -> float:
    """Time from one start to the next of a pump with a constant flow.

    T = V / Qi + V / (Qp - Qi)

    Args:
        volume: Volume between stop and start, V. [m3]
        pump_flow: Flow of the pump, Qp. [m3/s]
        inflow: Flow that it works against, Qi. [m3/s]

    Returns:
        Time T. [s]

    Raises:
        ValueError: the inflow is not between nothing and the pump's flow; the pump then never starts or never stops.

    Valid for constant flows. The same holds for a pump that fills a tank, with the demand in place of the inflow.
    Source: MIL-HDBK-1005/9A, 2.5.3.6, equation 1.

    >>> round(cycle_time(6.75, 0.045, 0.045 / 4) / 60, 4)
    13.3333
    >>> round(cycle_time(6.75, 0.045, 0.045 / 2) / 60, 4)
    10.0
    """
    return staged_cycle_time((volume,), (pump_flow,), inflow)


def staged_cycle_time(volumes: Sequence[float], flows: Sequence[float], inflow: float) -> float:
    """Time between two starts of a group whose last pump has just enough flow, one stop for all.

    T = sum V_k / (Qi - Q_1 - ... - Q_(k-1)) + sum V_k / (Q_1 + ... + Q_n - Qi)

    The level rises from the stop to the first start with no pump, to the second with one, and so on; with all n
    pumps it falls to the stop.

    Args:
        volumes: Volume from the stop to the first start, from there to the second start, and so on, V_k. [m3]
        flows: Flow of each pump in the order of starting, Q_k. [m3/s]
        inflow: Inflow, Qi. [m3/s]

    Returns:
        Time T. [s]

    Raises:
        ValueError: the inflow is not between the flow of all pumps but the last and that of all pumps.

    Valid for constant flows that add up. Source: volume balance; one stage is MIL-HDBK-1005/9A, 2.5.3.6, equation 1.

    >>> round(staged_cycle_time((4.0, 1.0), (0.02, 0.02), 0.03), 2)
    733.33
    """
    running = [0.0, *accumulate(flows)]
    if len(volumes) != len(flows) or not running[-2] < inflow < running[-1]:
        raise ValueError((volumes, flows, inflow))
    rising = sum(volume / (inflow - flow) for volume, flow in zip(volumes, running, strict=False))
    return rising + sum(volumes) / (running[-1] - inflow)


def worst_inflow(volumes: Sequence[float], flows: Sequence[float], least: float, largest: float) -> float | None:
    """The inflow within a span at which the group starts most often. [m3/s]

    For one pump it is half the pump's flow, or the end of the span nearest to it. With more pumps the cycle has no
    closed minimum; it is a sum of convex terms, so that thirds of the span close in on it.

    Args:
        volumes: As for `staged_cycle_time`. [m3]
        flows: As for `staged_cycle_time`. [m3/s]
        least: Least inflow. [m3/s]
        largest: Largest inflow. [m3/s]

    Returns:
        Inflow; None where the span has no inflow at which the last pump starts and stops. [m3/s]

    >>> worst_inflow((6.75,), (0.045,), 0.0, 1.0)
    0.0225
    """
    running = [0.0, *accumulate(flows)]
    bottom, top = running[-2], running[-1]
    if least >= top or largest <= bottom or least > largest:
        return None
    if len(flows) == 1:
        return min(max(flows[0] / 2, least), largest)
    hair = (top - bottom) * 1e-9
    low, high = max(least, bottom + hair), min(largest, top - hair)
    for _ in range(120):
        third = (high - low) / 3
        if staged_cycle_time(volumes, flows, low + third) < staged_cycle_time(volumes, flows, high - third):
            high -= third
        else:
            low += third
    return (low + high) / 2


def last_volume(before: Sequence[float], flows: Sequence[float], cycle: float, largest: float | None = None
                ) -> tuple[float, float]:
    """Volume between the last start and the one before it that makes the shortest cycle as long as wanted.

    For each inflow the staged cycle T grows with that volume x in a straight line, T = a + b x, so the volume is the most
    that (T - a) / b asks for over the inflows at which the last pump starts and stops:

    a = sum V_k / (Qi - Q_1 - ... - Q_(k-1)) + sum V_k / (Q_1 + ... + Q_n - Qi), over the volumes before;
    b = 1 / (Qi - Q_1 - ... - Q_(n-1)) + 1 / (Q_1 + ... + Q_n - Qi)

    Args:
        before: Volume from the stop to the first start, and so on to the last start but one. [m3]
        flows: Flow of each pump in the order of starting, one more than the volumes. [m3/s]
        cycle: Shortest time from start to start, T. [s]
        largest: Largest inflow that occurs; any, where left out or where the last pump is not needed at it. [m3/s]

    Returns:
        The volume, nothing where the volumes before suffice [m3], and the inflow that asks for it [m3/s].

    Raises:
        ValueError: a flow or the cycle is not positive, or the numbers of volumes and flows do not fit.

    Valid for constant flows that add up. Source: volume balance; without volumes before it is V = T Qp / 4 of USACE EI 11C201.

    >>> volume, inflow = last_volume((), (0.045,), 600.0)
    >>> round(volume, 6), round(inflow, 6)
    (6.75, 0.0225)
    """
    if len(flows) != len(before) + 1 or min(flows) <= 0 or cycle <= 0:
        raise ValueError((before, flows, cycle))
    running = [0.0, *accumulate(flows)]
    bottom, top = running[-2], running[-1]
    hair = (top - bottom) * 1e-9
    low, high = bottom + hair, top - hair
    if largest is not None and bottom + hair < largest < high:
        high = largest

    def asked(inflow: float) -> float:
        taken = sum(volume / (inflow - flow) for volume, flow in zip(before, running, strict=False))
        taken += sum(before) / (top - inflow)
        return (cycle - taken) / (1 / (inflow - bottom) + 1 / (top - inflow))

    for _ in range(120):
        third = (high - low) / 3
        if asked(low + third) > asked(high - third):
            high -= third
        else:
            low += third
    inflow = (low + high) / 2
    return max(0.0, asked(inflow)), inflow
