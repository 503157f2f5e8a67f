"""The vocabulary of cautions.yml: every fact a caution may be decided by, its values, and what it means.

| kind of fact | where it is worked out |
| --- | --- |
| liquids, tanks, surroundings | facts_of_places.py |
| instruments, contacts, tests | facts_of_devices.py |
| pumps, valves, equipment, panels | facts_of_machines.py |
| trips, votes, bypasses | facts_of_functions.py |

A fact is a function of a subject (switch, tank, interlock, pump, valve). It gives the values that hold, each with the
recorded words that say so, or what is not recorded. The first line of its docstring is its meaning.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import get_args

from generator.compute import facts_of_devices as devices
from generator.compute import facts_of_functions as functions
from generator.compute import facts_of_machines as machines
from generator.compute import facts_of_places as places
from generator.compute.facts import SUBJECTS, Fact, Subject
from generator.model.instrument import Technology

YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact of the vocabulary: its values and the function that works it out."""

    values: tuple[str, ...]
    of: Callable[[Subject], Fact]


VOCABULARY: Mapping[str, Entry] = {
    "subject": Entry(tuple(SUBJECTS.values()), functions.subject_kind),
    # liquids
    "liquid": Entry(("flammable", "hot", "toxic", "caustic", "acid", "oxidiser", "biological", "flashing",
                     "static accumulator", "harmful to water", "none"), places.liquid_hazards),
    "liquid_harmful": Entry(YES_NO, places.liquid_is_harmful),
    "liquid_over_60_degC": Entry(YES_NO, places.liquid_is_hot),
    "liquid_below_0_degC": Entry(YES_NO, places.liquid_is_frozen),
    "sewage": Entry(YES_NO, places.sewage),
    "leaves_deposits": Entry(YES_NO, places.leaves_deposits),
    "magnetic_particles": Entry(YES_NO, places.magnetic_particles),
    "acid_and_oxidiser": Entry(("connected", "on site", "no"), places.acid_and_oxidiser),
    # places
    "zone": Entry(("any", "none", "0", "1", "2", "20", "21", "22"), places.zone),
    "confined_space": Entry(YES_NO, places.confined_space),
    "wet_well": Entry(YES_NO, places.wet_well),
    "below_ground": Entry(YES_NO, places.below_ground),
    "open_water": Entry(YES_NO, places.open_water),
    "outdoors": Entry(YES_NO, places.outdoors),
    "gas_blanket": Entry(YES_NO, places.gas_blanket),
    "lone_work": Entry(YES_NO, places.lone_work),
    "height_over_ground": Entry(YES_NO, places.height_over_ground),
    # tanks
    "pressure": Entry(YES_NO, places.pressure),
    "heated": Entry(YES_NO, places.heated),
    "agitated": Entry(YES_NO, places.agitated),
    "shared_overflow": Entry(YES_NO, places.shared_overflow),
    "overflow_safe": Entry(YES_NO, places.overflow_is_safe),
    "uncontrolled_inflow": Entry(YES_NO, places.uncontrolled_inflow),
    "vacuum_possible": Entry(YES_NO, places.vacuum_possible),
    # devices
    "technology": Entry(get_args(Technology), devices.technology),
    "nozzle_on": Entry(("wall", "roof", "floor", "none"), devices.nozzle_on),
    "isolation": Entry(YES_NO, devices.isolation),
    "chamber": Entry(YES_NO, devices.chamber),
    "several_points": Entry(YES_NO, devices.several_points),
    "shared_guide": Entry(YES_NO, devices.shared_guide),
    "known_defect": Entry(YES_NO, devices.known_defect),
    "holds_last_state": Entry(YES_NO, devices.holds_last_state),
    "fails_safe": Entry(YES_NO, devices.fails_safe),
    "at_or_above_overflow": Entry(YES_NO, devices.at_or_above_overflow),
    "similar_tag": Entry(YES_NO, devices.similar_tag),
    "test": Entry(("wetted", "simulated", "signal injected", "inspection"), devices.test_methods),
    "tested_only_dry": Entry(YES_NO, devices.tested_only_dry),
    "test_means": Entry(("lever", "magnet", "lift", "fill", "plug", "none"), devices.test_means),
    # machines
    "starts_pump": Entry(YES_NO, machines.starts_pump),
    "stops_pump": Entry(YES_NO, machines.stops_pump),
    "moves_valve": Entry(YES_NO, machines.moves_valve),
    "drives_heater": Entry(YES_NO, machines.drives_heater),
    "drives_agitator": Entry(YES_NO, machines.drives_agitator),
    "restarts_by_itself": Entry(YES_NO, machines.restarts_by_itself),
    "restart_delay": Entry(YES_NO, machines.restart_delay),
    "check_valve": Entry(YES_NO, machines.check_valve),
    "heavy": Entry(YES_NO, machines.heavy),
    "suction": Entry(("bell", "bottom nozzle", "side nozzle", "submersible"), machines.suction),
    "actuator": Entry(("spring and air", "double acting air", "motor", "solenoid", "float", "hand"), machines.actuator),
    "valve_fails": Entry(("open", "closed", "in place"), machines.valve_fails),
    # electricity
    "panel_voltage": Entry(("above", "below"), machines.panel_voltage),
    "motor_voltage": Entry(("above", "below"), machines.motor_voltage),
    "foreign_supply": Entry(YES_NO, machines.foreign_supply),
    "several_supplies": Entry(YES_NO, machines.several_supplies),
    "battery": Entry(YES_NO, machines.battery),
    # functions
    "in_trip": Entry(YES_NO, functions.in_trip),
    "bypass": Entry(YES_NO, functions.bypass),
    "bypass_alarmed": Entry(YES_NO, functions.bypass_alarmed),
    "start_up_bypass": Entry(YES_NO, functions.start_up_bypass),
    "last_protection": Entry(YES_NO, functions.last_protection),
    "vote_member": Entry(YES_NO, functions.vote_member),
    "starts_to_protect": Entry(YES_NO, functions.must_start_to_protect),
    "restarts_after_reset": Entry(YES_NO, functions.restarts_after_reset),
}
