"""What starts by itself when power returns: the time line of each supply, and the current that it must give meanwhile."""

from collections.abc import Iterator, Mapping
from itertools import groupby

from generator.compute.book import Book, absences, given, missing_of
from generator.compute.restart_times import restart_time, turns
from generator.model.plant import Definitions
from generator.model.record import Absence, Input, Outcome, Record
from generator.model.results import PumpResult, Restarts, RestartStep
from generator.model.scalar import Tag

VALIDITY = "every machine that may start by itself does; motors that started earlier draw their full-load current"
START_AT_ONCE = "No delay is recorded: it starts at once."


def results(plant: Definitions, pumps: Mapping[str, PumpResult], book: Book) -> Mapping[str, Restarts]:
    """The restarts on every supply that a pump hangs on."""
    supplies = dict.fromkeys(str(pump.supply) for pump in plant.pumps.values() if pump.supply is not None)
    times = {tag: _time(plant, book, tag, seconds) for tag in plant.pumps
             if (seconds := restart_time(plant, tag)) is not None}
    return {supply: _Line(plant, pumps, book, supply, times).made() for supply in supplies}


def _time(plant: Definitions, book: Book, tag: Tag, seconds: float) -> Record:
    """The time after which one pump starts, with what it follows from."""
    restart = plant.pumps[tag].restart
    own = restart.after if restart else None
    inputs = [given(own, "t_{own}", "its own delay")] if own else []
    terms = ["t_{own}"] if own else []
    for number, turn in enumerate(turns(plant, tag), 1):
        stagger, before = turn.group.stagger, restart_time(plant, turn.before)
        if stagger is not None and before is not None:
            mark = f"_{{{number}}}"
            inputs += [Input(f"t{mark}", f"time from power back to the start of {turn.before}", before, "time",
                             f"#{turn.before}/restart"),
                       given(stagger, rf"\Delta t{mark}", "stagger of the group")]
            terms.append(rf"t{mark} + \Delta t{mark}")
    several = rf"t = \max({', '.join(terms)})"
    equation = "t = 0" if not terms else f"t = {terms[0]}" if len(terms) == 1 else several
    return book.record(f"#{tag}/restart", f"time from power back to the start of {tag}", seconds, "time", equation, inputs,
                       reference="common practice, no source", note=START_AT_ONCE if not terms else "")


class _Line:
    """The working of one supply."""

    def __init__(self, plant: Definitions, pumps: Mapping[str, PumpResult], book: Book, supply: str,
                 times: Mapping[Tag, Record]) -> None:
        self.plant, self.pumps, self.book, self.supply = plant, pumps, book, supply
        self.times = times
        self.machines = {tag: pump for tag, pump in plant.pumps.items() if pump.supply == supply}

    def made(self) -> Restarts:
        """Steps in the order of time; machines whose time is the same stand together."""
        times = {tag: self.times[tag] for tag in self.machines if tag in self.times}
        order = sorted(times, key=lambda tag: (times[tag].value, tag))
        running: list[Tag] = []
        steps: list[RestartStep] = []
        for _, same in groupby(order, key=lambda tag: times[tag].value):
            starting = list(same)
            current = self.current(running, starting)
            steps += [RestartStep(str(tag), times[tag], tuple(str(one) for one in starting if one != tag), current)
                      for tag in starting]
            running += starting
        waits = tuple(str(tag) for tag, pump in self.machines.items() if pump.restart and not pump.restart.by_itself)
        unknown = tuple(str(tag) for tag, pump in self.machines.items() if pump.restart is None)
        return Restarts(self.supply, tuple(steps), self.largest(steps), waits, unknown)

    def current(self, running: list[Tag], starting: list[Tag]) -> Outcome:
        """Current of the supply while some motors start and others run already."""
        key = f"#{self.supply}/restart-current/{starting[0]}"
        name = f"current of {self.supply} at the start of {' and '.join(starting)}"
        inputs = list(self.inputs(running, starting))
        gaps = [one for one in inputs if isinstance(one, Absence)]
        if gaps:
            return self.book.absence(key, name, "; ".join(dict.fromkeys(gap.why for gap in gaps)),
                                     tuple(dict.fromkeys(field for gap in gaps for field in gap.missing)))
        known = [one for one in inputs if isinstance(one, Input)]
        return self.book.record(key, name, sum(one.value for one in known), "current",
                                "I = " + " + ".join(one.symbol for one in known), known, validity=VALIDITY,
                                reference="common practice, no source; currents are added without their phase angles")

    def inputs(self, running: list[Tag], starting: list[Tag]) -> Iterator[Input | Absence]:
        """Full-load current of each motor that runs, current at start of each that starts."""
        for number, tag in enumerate(running, 1):
            full = self.pumps[tag].full_load_current
            if isinstance(full, Record):
                yield full.as_input(f"I_{{{number}}}")
            else:
                yield full or Absence("", "", f"{tag}: no motor is recorded", (f"pumps/{tag}/motor",))
        for number, tag in enumerate(starting, 1):
            motor = self.machines[tag].motor
            if motor is not None and motor.start_current is not None:
                yield given(motor.start_current, f"I_{{start,{number}}}", f"current of {tag} while it starts")
            else:
                yield Absence("", "", f"{tag}: its current while it starts is not recorded",
                              (f"pumps/{tag}/motor/start_current",))

    def largest(self, steps: list[RestartStep]) -> Outcome:
        """Largest current over the time line."""
        key, name = f"#{self.supply}/restart-current", f"largest current of {self.supply} while machines restart"
        if not steps:
            return self.book.record(key, name, 0.0, "current", "I = 0", note="Nothing on it starts by itself.")
        gaps = absences(step.current for step in steps)
        if gaps:
            return self.book.absence(key, name, "the current of some motor is not recorded", missing_of(gaps))
        found = list(dict.fromkeys(step.current for step in steps))
        inputs = [one.as_input(f"I_{{{number}}}") for number, one in enumerate(found, 1) if isinstance(one, Record)]
        return self.book.record(key, name, max(one.value for one in inputs), "current",
                                rf"I = \max({', '.join(one.symbol for one in inputs)})", inputs)
