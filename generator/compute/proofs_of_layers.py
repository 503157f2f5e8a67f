"""Proofs of layers: what a bypass leaves, and whether one failure can raise a demand and take every layer against it."""

from collections.abc import Iterable, Iterator, Mapping

from generator.compute.layers import Layers
from generator.compute.proofs_of_causes import listed
from generator.model.failure import BypassCase, Exposure, FailureEffect, Layer
from generator.model.plant import Definitions
from generator.model.proof import Proof, Question
from generator.model.scalar import Tag

COMMON = ("instruments", "supplies", "panels", "relays", "links", "")
"""Nouns of what layers may share; pumps and valves are judged by a rule of their own."""


def of_bypasses(plant: Definitions, layers: Layers, cases: Iterable[BypassCase]) -> Iterator[Proof]:
    """For each bypass by itself: whether a trip, an alarm or a recorded substitute still stands against its hazard."""
    question: Question = "bypass leaves a layer"
    for case in cases:
        if len(case.bypassed) > 1:
            continue
        tag = case.bypassed[0]
        bare = [exposure for exposure in case.exposures if exposure.hazard == plant.interlocks[Tag(tag)].hazard
                or any(other in case.together for other in _tags(exposure))]
        bare = [exposure for exposure in bare if not any(layer.protects for layer in exposure.remains)]
        bare = [exposure for exposure in bare if not any(
            _stands_against(plant, layers, one, exposure.hazard, tag) for one in case.relies_on)]
        if bare:
            hazard = bare[0].hazard
            key = plant.interlocks[Tag(tag)].bypass
            also = f" The same key takes out {listed(list(case.together))}." if case.together else ""
            part = "one member of " if tag in case.reduced else ""
            said = (f"while {part}{tag} is bypassed{f' by {key.key}' if key and key.key else ''}, no trip and no alarm stands "
                    f"against {hazard} ({plant.hazards[Tag(hazard)].what}), and no substitute that has a tag and still "
                    f"works watches its tank.{also}")
            yield Proof(question, tag, "fails", said, f"nothing against {hazard}", (hazard, *case.together))
        else:
            left = dict.fromkeys(layer.tag for exposure in case.exposures for layer in exposure.remains if layer.protects)
            yield Proof(question, tag, "holds", f"{listed([*left, *case.relies_on])} remains" if left or case.relies_on
                        else "it stands against no listed hazard")


def _stands_against(plant: Definitions, layers: Layers, substitute: str, hazard: str, bypassed: str) -> bool:
    """Whether a substitute counts against a hazard: that of the bypass itself, or one of the tank that it watches."""
    if hazard == plant.interlocks[Tag(bypassed)].hazard:
        return True
    alarm = plant.alarms.get(Tag(substitute))
    source = alarm.from_ if alarm is not None else Tag(substitute)
    body = plant.switches[source].in_ if source in plant.switches else source
    side = layers.sides.get(hazard)
    return side is not None and body in plant.instruments and plant.instruments[body].tank == side.tank


def _tags(exposure: Exposure) -> tuple[str, ...]:
    return tuple(layer.tag for layer in exposure.lost)


def of_hazards(
    plant: Definitions, layers: Layers, failures: Mapping[str, tuple[FailureEffect, ...]],
) -> Iterator[Proof]:
    """For each hazard: whether one failure drives the level towards it and leaves nothing that protects."""
    question: Question = "no single failure takes all"
    found: dict[str, Proof] = {}
    for device, effects in failures.items():
        if plant.noun_of.get(device, "") not in COMMON:
            continue
        for effect in effects:
            for exposure in effect.exposures:
                lost = [layer for layer in exposure.lost if layer.protects]
                if not exposure.is_demanded or not lost or any(
                        layer.protects for layer in (*exposure.remains, *exposure.unassessed)) \
                        or exposure.hazard in found or _is_judged_elsewhere(plant, device, lost):
                    continue
                drives = " and ".join(f"{control} {does}" for control, does in effect.controls) or "the level moves"
                tank = layers.sides[exposure.hazard].tank
                way = "rises" if layers.sides[exposure.hazard].direction == "rising" else "falls"
                said = (f"{device} {effect.mode}: {drives}, so {tank} {way}; {listed([layer.tag for layer in lost])} "
                        f"cannot act, and nothing else stands against {exposure.hazard}")
                found[exposure.hazard] = Proof(
                    question, exposure.hazard, "fails", said, f"{device} {effect.mode}",
                    (device, *(layer.tag for layer in lost)))
    for hazard in plant.hazards:
        if any(layer.protects for layer in layers.by_hazard[str(hazard)]):
            yield found.get(str(hazard)) or Proof(question, str(hazard), "holds", "each failure leaves something")


def _is_judged_elsewhere(plant: Definitions, device: str, lost: list[Layer]) -> bool:
    """A body that a trip shares with ordinary running is the subject of a rule on that trip."""
    return plant.noun_of.get(device) == "instruments" and any(
        plant.interlocks[Tag(layer.tag)].kind == "trip" for layer in lost
        if layer.tag in plant.interlocks)
