"""Levels of concern: the heights that published rules in force ask for on a tank, with where they apply."""

from collections.abc import Iterator

from msgspec import Struct

from generator.compute.book import Book, absences, because_of, missing_of
from generator.compute.published_times import OWN_TIME, RESPONSES, is_worked_out, times_of
from generator.compute.tanks import vessel_input
from generator.compute.travel import level_of
from generator.model.knowledge import Knowledge, PublishedRule
from generator.model.margin import Concern
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import TankResult
from generator.model.scalar import Tag

GAP, WORKING = "overfill-gap", "two-minute-rule"


def concerns(plant: Definitions, knowledge: Knowledge, tank: TankResult, book: Book) -> tuple[Concern, ...]:
    """Levels of concern of one tank, highest first; none where no rule in force asks for any."""
    return tuple(_Tank(plant, knowledge, tank, book).all())


class _Tank(Struct, frozen=True):
    plant: Definitions
    knowledge: Knowledge
    tank: TankResult
    book: Book

    def all(self) -> Iterator[Concern]:
        """Each level that a rule in force asks for."""
        floor = self.rule(GAP)
        categories = set(self.plant.tanks[Tag(self.tank.tag)].categories.values())
        response = next((rule for name, category in RESPONSES.items()
                         if category in categories and (rule := self.rule(name))), None)
        working = self.rule(WORKING)
        if not isinstance(self.tank.filling, Record) or not (floor or response or working):
            return
        if floor or response:
            yield self.concern("critical high level", floor or response, self.tank.ceiling)
        if floor is not None:
            yield self.concern("automatic trip, at the latest", floor,
                               self.below("automatic-trip", floor, self.rule_times(floor), floor))
        if response is not None:
            yield self.concern("high-high alarm, at the latest", response, self.high_high(response, floor))
        if working is not None:
            yield self.concern("highest working level", working,
                               self.below("highest-working-level", working, self.rule_times(working), None))

    def rule(self, name: str) -> PublishedRule | None:
        """A published rule, where it is in force for the plant."""
        return self.knowledge.rules.get(name) if name in self.plant.plant.rules_in_force else None

    def rule_times(self, rule: PublishedRule) -> list[Input]:
        """The times that count for a rule on this tank."""
        return list(times_of(self.plant, self.tank.tag, rule))

    def concern(self, name: str, rule: PublishedRule | None, height: Outcome) -> Concern:
        """A level with what the plant says of its rule."""
        assert rule is not None
        adopted = self.plant.plant.rules_in_force[Tag(rule.name)]
        return Concern(name, height, rule.name, bool(adopted.analogy), str(adopted.where or rule.scope))

    def high_high(self, rule: PublishedRule, floor: PublishedRule | None) -> Outcome:
        """The high-high alarm: the site's own itemised time, else the time that the category has by default."""
        note = OWN_TIME if is_worked_out(self.plant, self.tank.tag, rule) else ""
        return self.below("high-high-alarm", rule, self.rule_times(rule), floor, note)

    def below(self, word: str, rule: PublishedRule, times: list[Input], floor: PublishedRule | None,
              note: str = "") -> Outcome:
        """Height below the critical high level by what fills in a time, and by the floor of the gap rule at least."""
        tag = self.tank.tag
        key, name = f"#{tag}/concern/{word}", f"{word.replace('-', ' ').capitalize()} of {tag} after {rule.name}"
        ceiling, rate, vessel = self.tank.ceiling, self.tank.filling, self.tank.vessel
        if vessel is None or not isinstance(ceiling, Record) or not isinstance(rate, Record):
            gaps = absences((self.tank.capacity, ceiling, rate))
            return self.book.absence(key, name, because_of(gaps), missing_of(gaps))
        top = ceiling.as_input(r"h_{\text{c}}")
        time = " + ".join(one.symbol for one in times)
        sum_of_times = f"\\left( {time} \\right)" if len(times) > 1 else time
        height, remark = level_of(vessel, vessel.volume_at(top.value) - rate.value * sum(one.value for one in times))
        expression = rf"V^{{-1}}\left( V\left( h_{{\text{{c}}}} \right) - Q {sum_of_times} \right)"
        inputs = [top, vessel_input(tag, vessel), rate.as_input("Q"), *times]
        if floor is not None and floor.height is not None:
            inputs.append(Input("g", f"least gap of {floor.name}", floor.height, "length", f"{floor.standard} ({floor.mark})"))
            height = min(height, top.value - floor.height)
            expression = rf"\min\left( {expression}, h_{{\text{{c}}}} - g \right)"
        return self.book.record(key, name, height, "length", f"h = {expression}", inputs, validity=rule.scope,
                                reference=f"{rule.standard} ({rule.mark})",
                                note="; ".join(one for one in (note, remark) if one))
