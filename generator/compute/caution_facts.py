"""The vocabulary of cautions.yml: every fact a caution may be decided by, its values, and what it means.

| kind of fact | where it is worked out |
| --- | --- |
| liquids, tanks, surroundings | facts_of_places.py |
| instruments, contacts, tests | facts_of_devices.py |
| pumps, valves, equipment, panels | facts_of_machines.py |
| trips, votes, bypasses | facts_of_functions.py |

A fact is a function of a subject (switch, tank, interlock, pump, valve). It gives the values that hold, each with the
recorded words that say so, or what is not recorded. The first line of its docstring is its meaning. `looks_at` names
the part of the subject that it looks at (`Subject.parts`): subjects that share the part share the fact.
"""

from collections.abc import Callable, Mapping
from typing import get_args

from msgspec import Struct

from generator.compute import facts_of_devices as devices
from generator.compute import facts_of_functions as functions
from generator.compute import facts_of_machines as machines
from generator.compute import facts_of_places as places
from generator.compute.facts import SUBJECTS, Fact, Part, Subject
from generator.model.instrument import Technology

YES_NO = ("yes", "no")


class Entry(Struct, frozen=True):
    """One fact of the vocabulary: its values, the function that works it out, the part that it looks at."""

    values: tuple[str, ...]
    of: Callable[[Subject], Fact]
    looks_at: Part


VOCABULARY: Mapping[str, Entry] = {
    "subject": Entry(tuple(SUBJECTS.values()), functions.subject_kind, "kind"),
    # liquids
    "liquid": Entry(("flammable", "hot", "toxic", "caustic", "acid", "oxidiser", "biological", "flashing",
                     "static accumulator", "harmful to water", "none"), places.liquid_hazards, "liquids"),
    "liquid_harmful": Entry(YES_NO, places.liquid_is_harmful, "liquids"),
    "liquid_over_60_degC": Entry(YES_NO, places.liquid_is_hot, "itself"),
    "liquid_below_0_degC": Entry(YES_NO, places.liquid_is_frozen, "liquids"),
    "sewage": Entry(YES_NO, places.sewage, "liquids"),
    "leaves_deposits": Entry(YES_NO, places.leaves_deposits, "liquids"),
    "magnetic_particles": Entry(YES_NO, places.magnetic_particles, "liquids"),
    "acid_and_oxidiser": Entry(("connected", "on site", "no"), places.acid_and_oxidiser, "places"),
    # places
    "zone": Entry(("any", "none", "0", "1", "2", "20", "21", "22"), places.zone, "places"),
    "confined_space": Entry(YES_NO, places.confined_space, "places"),
    "wet_well": Entry(YES_NO, places.wet_well, "places"),
    "below_ground": Entry(YES_NO, places.below_ground, "places"),
    "open_water": Entry(YES_NO, places.open_water, "places"),
    "outdoors": Entry(YES_NO, places.outdoors, "places"),
    "gas_blanket": Entry(YES_NO, places.gas_blanket, "places"),
    "lone_work": Entry(YES_NO, places.lone_work, "places"),
    "lit": Entry(YES_NO, places.lit, "places"),
    "radiation_source": Entry(YES_NO, places.radiation_source, "places"),
    "height_over_ground": Entry(YES_NO, places.height_over_ground, "places"),
    # tanks
    "pressure": Entry(YES_NO, places.pressure, "places"),
    "heated": Entry(YES_NO, places.heated, "places"),
    "agitated": Entry(YES_NO, places.agitated, "places"),
    "shared_overflow": Entry(YES_NO, places.shared_overflow, "places"),
    "overflow_safe": Entry(YES_NO, places.overflow_is_safe, "places"),
    "uncontrolled_inflow": Entry(YES_NO, places.uncontrolled_inflow, "places"),
    "vacuum_possible": Entry(YES_NO, places.vacuum_possible, "places"),
    # devices
    "technology": Entry(get_args(Technology), devices.technology, "body"),
    "nozzle_on": Entry(("wall", "roof", "floor", "none"), devices.nozzle_on, "body"),
    "isolation": Entry(YES_NO, devices.isolation, "body"),
    "chamber": Entry(YES_NO, devices.chamber, "body"),
    "several_points": Entry(YES_NO, devices.several_points, "body"),
    "shared_guide": Entry(YES_NO, devices.shared_guide, "body"),
    "known_defect": Entry(YES_NO, devices.known_defect, "body"),
    "holds_last_state": Entry(YES_NO, devices.holds_last_state, "itself"),
    "fails_safe": Entry(YES_NO, devices.fails_safe, "itself"),
    "at_or_above_overflow": Entry(YES_NO, devices.at_or_above_overflow, "itself"),
    "similar_tag": Entry(YES_NO, devices.similar_tag, "itself"),
    "test": Entry(("wetted", "simulated", "signal injected", "inspection"), devices.test_methods, "itself"),
    "tested_only_dry": Entry(YES_NO, devices.tested_only_dry, "itself"),
    "test_means": Entry(("lever", "magnet", "lift", "fill", "plug", "none"), devices.test_means, "body"),
    # machines
    "starts_pump": Entry(YES_NO, machines.starts_pump, "driven"),
    "stops_pump": Entry(YES_NO, machines.stops_pump, "driven"),
    "moves_valve": Entry(YES_NO, machines.moves_valve, "driven"),
    "drives_heater": Entry(YES_NO, machines.drives_heater, "driven"),
    "drives_agitator": Entry(YES_NO, machines.drives_agitator, "driven"),
    "restarts_by_itself": Entry(YES_NO, machines.restarts_by_itself, "driven"),
    "restart_delay": Entry(YES_NO, machines.restart_delay, "driven"),
    "check_valve": Entry(YES_NO, machines.check_valve, "driven"),
    "heavy": Entry(YES_NO, machines.heavy, "driven"),
    "suction": Entry(("bell", "bottom nozzle", "side nozzle", "submersible"), machines.suction, "driven"),
    "actuator": Entry(("spring and air", "double acting air", "motor", "solenoid", "float", "hand"), machines.actuator, "driven"),
    "valve_fails": Entry(("open", "closed", "in place"), machines.valve_fails, "driven"),
    # electricity
    "panel_voltage": Entry(("above", "below"), machines.panel_voltage, "panels"),
    "motor_voltage": Entry(("above", "below"), machines.motor_voltage, "driven"),
    "foreign_supply": Entry(YES_NO, machines.foreign_supply, "panels"),
    "several_supplies": Entry(YES_NO, machines.several_supplies, "panels"),
    "battery": Entry(YES_NO, machines.battery, "panels"),
    # functions
    "in_trip": Entry(YES_NO, functions.in_trip, "functions"),
    "bypass": Entry(YES_NO, functions.bypass, "functions"),
    "bypass_alarmed": Entry(YES_NO, functions.bypass_alarmed, "functions"),
    "start_up_bypass": Entry(YES_NO, functions.start_up_bypass, "functions"),
    "last_protection": Entry(YES_NO, functions.last_protection, "functions"),
    "vote_member": Entry(YES_NO, functions.vote_member, "functions"),
    "starts_to_protect": Entry(YES_NO, functions.must_start_to_protect, "functions"),
    "restarts_after_reset": Entry(YES_NO, functions.restarts_after_reset, "functions"),
}
