"""Streams against the pumps that move them: rules 6.18 and 6.19."""

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfPump, OfTank
from generator.check.words import flow, listed
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from generator.model.tank import Stream

PRACTICE = "common practice, no source"
ROUNDED = 1.005
"""A flow that is written rounded is no larger than the pump: half a per cent."""


def _moved(subject: OfTank) -> dict[str, Stream]:
    """Streams that a pump moves out of a tank, and those that one draws from outside into it."""
    plant = subject.context.plant
    streams = [*plant.outflows_of[subject.tag],
               *(tag for tag in plant.inflows_of[subject.tag] if plant.streams[tag].from_ == "outside")]
    return {str(tag): plant.streams[tag] for tag in streams if plant.streams[tag].moved_by and not plant.streams[tag].by_overflow}


def _at_once(plant: Definitions, mover: str) -> tuple[tuple[str, ...], float]:
    """The pumps of a pump or group that run together, the largest first, and what they move. [m3/s]

    By its arrangement, or as many as a control starts, where that is more.
    """
    group = plant.pump_groups.get(Tag(mover))
    pumps = sorted(group.pumps if group else (Tag(mover),), key=lambda one: -plant.pumps[one].flow.si)
    if group is not None:
        arranged = {"duty/standby": 1, "duty/assist/standby": len(pumps) - 1}.get(group.arrangement, len(pumps))
        starts = [len(control.starts) for control in plant.controls.values()
                  if isinstance(control, StartStop) and control.moves == mover]
        pumps = pumps[:max(arranged, *starts, 1)]
    return tuple(map(str, pumps)), sum(plant.pumps[one].flow.si for one in pumps)


@rule("6.19", "No stream is larger than what its pumps move", scope="tank", severity="warning", basis=PRACTICE,
      conditions=(When("a pump moves a stream out of it, or into it from outside", lambda tank: bool(_moved(tank))),))
def stream_fits_its_pumps(subject: OfTank) -> Answer:
    """Compares the highest flow of each stream with what the pumps that move it deliver at once: as many as their
    arrangement lets run, or a control starts.

    Every minute of a level rests on the streams. One that is written larger than its pump empties a tank on paper only:
    a filling that is thought to be held runs over. Cure: correct the flow of the stream or of the pump, or who moves it.
    """
    plant = subject.context.plant
    wrong: dict[str, str] = {}
    pumps: list[str] = []
    for tag, stream in _moved(subject).items():
        members, able = _at_once(plant, str(stream.moved_by))
        if stream.flow.highest.si > able * ROUNDED:
            verb = "moves" if len(members) == 1 else "move"
            wrong[tag] = f"{tag} runs up to {flow(stream.flow.highest.si)}, {listed(members)} {verb} {flow(able)}"
            pumps += members
    if wrong:
        said = "; ".join(wrong.values())
        return Fail(said, said, "correct the flow of the stream or of the pump, or who moves it",
                    at=plant.streams[Tag(next(iter(wrong)))].flow.place, also=tuple(dict.fromkeys((*wrong, *pumps))))
    return Pass(f"{len(_moved(subject))} within what their pumps move")


@rule("6.18", "The pump moves a stream", scope="pump", severity="warning", basis=PRACTICE,
      conditions=(When("it draws from a tank of the plant", lambda pump: pump.pump.inlet is not None),))
def pump_moves_a_stream(subject: OfPump) -> Answer:
    """Asks that a stream names the pump, or the group it belongs to, as what moves it.

    Without that the generator does not know what stopping the pump stops: scenarios, failures and the emptying of the
    tank leave it out. Cure: name it in `moved_by` of its stream, or write the stream.
    """
    plant = subject.context.plant
    names = (Tag(subject.tag), *plant.group_of[subject.tag])
    moved = [str(tag) for tag, stream in plant.streams.items() if stream.moved_by in names]
    if moved:
        return Pass(f"it moves {listed(moved)}")
    said = f"no stream names {listed(map(str, names))} in `moved_by`"
    return Fail(said, said, "name it in `moved_by` of its stream, or write the stream")
