"""Submergence of a pump's inlet."""

import math

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity. [m/s2] ISO 80000-3."""

EQUATION = r"S = D \left( 1 + 2.3 \frac{v}{\sqrt{g D}} \right), \quad v = \frac{4 Q}{\pi D^2}"
VALIDITY = "uniform approach flow; keeps surface vortices away, does not replace the pump's NPSH requirement"
REFERENCE = "ANSI/HI 9.8, submergence equation (constant from memory)"


def minimum_submergence(inlet_diameter: float, flow: float) -> float:
    """Depth of liquid over a pump's inlet that keeps surface vortices from reaching it.

    S = D (1 + 2.3 Fr),  Fr = v / sqrt(g D),  v = 4 Q / (pi D^2)

    Args:
        inlet_diameter: Outside diameter of the bell, or inside diameter of the nozzle, D. [m]
        flow: Flow through this inlet, Q. [m3/s]

    Returns:
        Depth S above the plane of the inlet. [m]

    Raises:
        ValueError: inlet_diameter is not positive, or flow is negative.

    Valid for uniform approach flow; does not replace the pump's NPSH requirement.
    Source: ANSI/HI 9.8, submergence equation (constant from memory).

    >>> round(minimum_submergence(0.30, 0.10), 4)
    0.8691
    """
    if inlet_diameter <= 0 or flow < 0:
        raise ValueError((inlet_diameter, flow))
    velocity = 4 * flow / (math.pi * inlet_diameter**2)
    return inlet_diameter * (1 + 2.3 * velocity / math.sqrt(STANDARD_GRAVITY * inlet_diameter))
