"""Proofs of the logic over every physically possible state, each failure with a counter-example in words."""

from collections.abc import Iterable, Mapping

from generator.compute.layers import Layers
from generator.compute.proofs_of_causes import ProofsOfCauses
from generator.compute.proofs_of_effects import ProofsOfEffects
from generator.compute.proofs_of_layers import of_bypasses, of_hazards
from generator.compute.proofs_of_purpose import ProofsOfPurpose
from generator.compute.world import World
from generator.model.failure import BypassCase, FailureEffect
from generator.model.plant import Definitions
from generator.model.proof import Proof
from generator.model.results import SetpointResult, TankResult


def results(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], layers: Layers,
    failures: Mapping[str, tuple[FailureEffect, ...]], bypasses: Iterable[BypassCase],
) -> Mapping[str, tuple[Proof, ...]]:
    """Proofs by subject: of each interlock, of each device that interlocks drive, and of each hazard."""
    world = World(plant, setpoints, tanks)
    causes, effects = ProofsOfCauses(plant, world), ProofsOfEffects(plant, world)
    purposes = ProofsOfPurpose(plant, layers)
    made: dict[str, list[Proof]] = {}
    for tag, lock in plant.interlocks.items():
        made[str(tag)] = [*causes.of(tag, lock), *effects.of(tag, lock), *purposes.of(tag, lock)]
    for noun in (plant.pumps, plant.valves, plant.equipment):
        for tag in noun:
            if plant.interlocks_of_effect[tag]:
                made[str(tag)] = [effects.conflict(tag), effects.hunts(tag)]
    for proof in (*of_bypasses(plant, layers, bypasses), *of_hazards(plant, layers, failures)):
        made.setdefault(proof.subject, []).append(proof)
    return {subject: tuple(proofs) for subject, proofs in made.items()}
