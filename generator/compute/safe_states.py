"""The hazard's safe state against what a function does: "inflow stopped" is one thing, "outflow running" another."""

from generator.compute.duties import Duty
from generator.compute.final_elements import STOPS, elements
from generator.model.plant import Definitions
from generator.model.scalar import Tag

RUNNING = ("running", "open", "flowing")
FLOWS_OUT = ("outflow", "drain", "discharge", "pump")


def must_run(words: str) -> bool:
    """Whether a safe state, in the engineer's words, asks for an outflow that runs.

    >>> must_run("outflow running"), must_run("drain pumps running and inflow stopped"), must_run("inflow stopped")
    (True, True, False)
    """
    parts = words.lower().replace(",", " and ").split(" and ")
    return any(any(flow in part for flow in FLOWS_OUT) and any(state in part.split() for state in RUNNING)
               for part in parts)


def stops_what_must_run(plant: Definitions, duty: Duty) -> str:
    """Why a function that only stops is not on the safe side of its hazard; empty where it is, or none is named.

    The safe state must ask for an outflow that runs, the function must stop a pump that draws from the tank where the
    hazard begins, and nothing that it does may start or open anything.
    """
    lock = plant.interlocks.get(Tag(duty.tag))
    hazard = plant.hazards.get(lock.hazard) if lock is not None and lock.hazard is not None else None
    if lock is None or hazard is None or not must_run(hazard.safe_state):
        return ""
    tank = hazard.begins_at.split()[0]
    made = list(elements(plant, lock))
    stopped = [str(tag) for tag, state in made
               if state in STOPS and tag in plant.pumps and plant.pumps[tag].suction.tank == tank]
    if not stopped or any(state not in STOPS for _, state in made):
        return ""
    return (f"{duty.tag}: the safe state of {lock.hazard} is \"{hazard.safe_state}\", and stopping {', '.join(stopped)} "
            "is the opposite, whatever the contact does.")
