"""What each single failure does: of every body, wire, relay, supply, panel, controller, pump, valve and machine."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from generator.compute import failure_sequels, link_failures
from generator.compute.damage import UNHURT, Damage, Judge
from generator.compute.failure_modes import Mode, modes
from generator.compute.layers import Layers, Side
from generator.model.failure import Blind, Cut, Exposure, FailureEffect, Layer
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.results import ContactResult
from generator.model.scalar import Tag

URGENCY = ("highest", "high", "medium", "low")


def results(
    plant: Definitions, layers: Layers, contacts: Mapping[str, ContactResult],
) -> Mapping[str, tuple[FailureEffect, ...]]:
    """Effects by device, each of its ways to fail."""
    work = Failures(plant, layers, contacts)
    made: dict[str, list[FailureEffect]] = {}
    for mode in (*modes(plant, layers, contacts), *link_failures.modes(plant)):
        made.setdefault(mode.device, []).append(work.effect(mode))
    return {device: tuple(effects) for device, effects in made.items()}


class Failures(Struct, frozen=True, dict=True):
    """Effects of failures, one at a time."""

    plant: Definitions
    layers: Layers
    contacts: Mapping[str, ContactResult]

    @cached_property
    def judge(self) -> Judge:
        """What a damage leaves of each function."""
        return Judge(self.plant, self.layers)

    def effect(self, mode: Mode) -> FailureEffect:
        """Everything that follows from one failure."""
        damage, plant = mode.damage, self.plant
        tags = sorted({*damage.forced, *damage.bad, *damage.still})
        locks = list(dict.fromkeys((
            *(lock for tag in tags for lock in plant.interlocks_of_cause[tag]),
            *(lock for device in damage.states for lock in plant.interlocks_of_effect[device]),
            *(Tag(lock) for lock, _ in sorted(damage.unreached)),
            *(Tag(tag) for tag in sorted(damage.dead) if tag in plant.interlocks),
        )))
        gaps = dict(mode.unassessed)
        acts: list[str] = []
        lost: list[str] = []
        weakened: list[str] = []
        blind: list[Blind] = []
        cut: list[Cut] = []
        for tag in (one for one in locks if one not in gaps):
            lock = plant.interlocks[tag]
            if self.judge.acts_for_nothing(tag, lock, damage):
                acts.append(str(tag))
            left = {side: what for side in self._sides(tag, lock)
                    if (what := self.judge.reach(tag, lock, damage, side)) != "whole"
                    and self.judge.reach(tag, lock, UNHURT, side) == "whole"}
            if left:
                (lost if "nothing" in left.values() else weakened).append(str(tag))
                asked = [side for side in left if self.judge.can_ask(lock, damage.seen_by(tag), side)]
                blind += self._blind(tag, lock, damage, [side for side, what in left.items()
                                                         if what == "nothing" and side not in asked])
                if asked and lock.kind != "permissive" and tag not in damage.dead:
                    cut += filter(None, [self.judge.cut(tag, lock, damage)])
        controls = {tag: does for tag in self._controls(damage)
                    if tag not in gaps and (does := self.judge.control(tag, damage))}
        levels = self.judge.levels(damage, controls, tuple(acts))
        alarms = list(dict.fromkeys(alarm for tag in (*tags, *locks) for alarm in plant.alarms_of[tag])
                      | dict.fromkeys(map(Tag, sorted(damage.silent))))
        later = tuple(failure_sequels.later(plant, self.judge, damage, controls))
        alarms_lost = tuple(str(one) for one in alarms if one not in gaps and not self.judge.can_sound(one, damage))
        fewer = tuple(failure_sequels.fewer(plant, self.judge, damage))
        touched = (*lost, *weakened, *alarms_lost, *controls, *(one.control for one in fewer), *gaps)
        exposures = tuple(self.exposures(damage, touched, levels, gaps))
        return FailureEffect(
            mode.device, plant.noun_of.get(mode.device, ""), mode.words, mode.tank, tuple(acts), tuple(lost),
            tuple(weakened), alarms_lost, tuple(controls.items()),
            tuple((tank, "rises" if way == "rising" else "falls") for tank, way in levels),
            self._sees(mode, acts, alarms), mode.shown,
            exposures, mode.is_standing,
            mode.note,
            tuple(blind), tuple(self._reduced((one for one in locks if one not in gaps), lost, damage)), later,
            self._by_urgency(alarm for one in later for alarm in plant.alarms_of[one.interlock]), mode.is_unknown,
            mode.unassessed, tuple(cut), fewer,
            tuple(dict.fromkeys(failure_sequels.met(plant, self.judge, damage, exposures))),
        )

    def _sides(self, tag: Tag, lock: Interlock) -> tuple[Side | None, ...]:
        """The ways to the hazards that an interlock stands against, its own first; None where its hazard has no level."""
        hazards = dict.fromkeys((str(lock.hazard), *self.layers.hazards_of.get(tag, ())))
        return tuple(dict.fromkeys(self.layers.sides.get(hazard) for hazard in hazards))

    def _blind(self, tag: Tag, lock: Interlock, damage: Damage, sides: list[Side | None]) -> Iterator[Blind]:
        """The levels that no longer bring an interlock about, where something else does and it still reaches its devices."""
        if lock.kind == "permissive" or tag in damage.dead or not any(
                self.judge.moves(tag, device, state, damage) for device, state in lock.then.items()):
            return
        by = self.judge.still_by(lock, damage.seen_by(tag))
        for side in sides:
            if by and side is not None:
                yield Blind(str(tag), side.tank, side.direction, by)

    def _controls(self, damage: Damage) -> Iterator[str]:
        plant = self.plant
        found: dict[str, None] = {tag: None for tag in sorted(damage.dead) if tag in plant.controls}
        for tag in sorted({*damage.forced, *damage.bad, *damage.still}):
            found.update(dict.fromkeys(map(str, plant.controls_of_point[tag])))
            body = tag.removesuffix(" reads")
            found.update(dict.fromkeys(self._loops.get(body, ())))
        for device in damage.states:
            found.update(dict.fromkeys(map(str, plant.controls_of_element[device])))
        return iter(found)

    @cached_property
    def _loops(self) -> Mapping[str, tuple[str, ...]]:
        made: dict[str, list[str]] = {}
        for tag, control in self.plant.controls.items():
            if control.kind == "modulating":
                made.setdefault(str(control.measures), []).append(str(tag))
        return {body: tuple(tags) for body, tags in made.items()}

    def _sees(self, mode: Mode, acts: list[str], alarms: list[Tag]) -> tuple[str, ...]:
        """Alarms that sound at once, most urgent first."""
        plant, damage = self.plant, mode.damage
        sounding = [tag for tag in alarms if (
            (source := plant.alarms[tag].from_) in acts or damage.forced.get(source) is True)]
        sounding += [alarm for signal in mode.signals for alarm in plant.alarms_of[signal]]
        sounding += failure_sequels.deviating(plant, self.judge, damage)
        return self._by_urgency(sounding)

    def _by_urgency(self, alarms: Iterable[Tag]) -> tuple[str, ...]:
        """Alarms, each once, most urgent first."""
        return tuple(map(str, sorted(dict.fromkeys(alarms), key=lambda tag: URGENCY.index(self.plant.alarms[tag].priority))))

    def _reduced(self, locks: Iterable[Tag], lost: Collection[str], damage: Damage) -> Iterator[tuple[str, str]]:
        """Interlocks that still act, each with a cause that can no longer help it; all, with a stop that no hand can give."""
        for tag in locks:
            lock, seen = self.plant.interlocks[tag], damage.seen_by(tag)
            if tag in damage.dead or lock.kind == "permissive":
                continue
            if tag not in lost:
                yield from ((str(tag), cause) for cause in self.judge.useless(lock, seen))
            yield from ((str(tag), stop) for stop in self.judge.deaf_to(lock, seen))

    # ---- hazards -------------------------------------------------------------------------------------------------

    def exposures(
        self, damage: Damage, touched: tuple[str, ...], levels: Mapping[tuple[str, str], None],
        gaps: Collection[str] = (),
    ) -> Iterator[Exposure]:
        """Hazards that are touched, with what still stands against each; what stands defective counts as failed.

        Left out is one to which the level cannot come, because the damage stops everything that could take it there.
        """
        defects = self.judge.defects - set(damage.forced)
        damage = replace(damage, still=damage.still | defects) if defects else damage
        hazards: dict[str, None] = {}
        for tag in touched:
            hazards.update(dict.fromkeys(self.layers.hazards_of.get(tag, ())))
        demanded = {hazard for side in levels for hazard in self.layers.hazards_at.get(side, ())}
        hazards.update(dict.fromkeys(sorted(demanded)))
        for hazard in hazards:
            side = self.layers.sides.get(hazard)
            if side is not None and self.judge.stands_still(side.tank, side.direction, damage):
                continue
            remains: list[Layer] = []
            lost: list[Layer] = []
            weakened: list[Layer] = []
            for layer in (one for one in self.layers.by_hazard[hazard] if one.tag not in gaps):
                left = self.judge.standing(layer, damage)
                (remains if left != "nothing" else lost).append(layer)
                if left == "part":
                    weakened.append(layer)
            yield Exposure(hazard, hazard in demanded, tuple(remains), tuple(lost), tuple(weakened),
                           self.layers.consequence.get(hazard),
                           tuple(layer for layer in self.layers.by_hazard[hazard] if layer.tag in gaps),
                           self.layers.spilled.get(hazard, ()))
