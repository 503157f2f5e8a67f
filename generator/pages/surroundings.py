"""Registers of what surrounds the tanks: streams, controls, signals, panels, tests, liquids, references."""

from collections.abc import Iterator

from generator.model.interlock import StartStop
from generator.model.page import Page, Running
from generator.model.quantity import Quantity
from generator.model.scalar import Tag
from generator.model.tank import Stream
from generator.pages import amounts, proofs, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Group, Row, cell


def pages(context: Context) -> Iterator[Page]:
    """One page each."""
    plant = context.plant
    yield register.page(
        context, "controls", "Controls", "Ordinary running: what starts and stops by itself, and what a loop moves.",
        ("Control", "Tank", "Kind", "Moves", "Starts", "Stops", "Carried by", "Note"),
        (*register.by_area(context, plant.controls, lambda tag: _control(context, tag)),
         *_whole("Pump groups", [_group(context, tag) for tag in plant.pump_groups])),
    )
    yield register.page(
        context, "signals", "Signals", "Causes that are not levels: buttons, keys, lost supplies, other measurements.",
        ("Signal", "What it tells", "Kind", "On when", "At", "Broken wire looks like", "Of", "Interlocks"),
        register.by_area(context, plant.signals, lambda tag: _signal(context, tag)),
    )
    yield register.page(
        context, "streams", "Streams", "Liquid that moves, each written once. Worst cases are worked out from these.",
        ("Stream", "Name", "From", "Into", "Lowest", "Ordinary", "Highest", "Temperature", "Through", "Moved by",
         "Runs out after a stop"),
        (*_whole("Streams", [_stream(context, tag) for tag in plant.streams]),
         *_whole("Operating cases", [_case(context, tag) for tag in plant.cases])),
    )
    yield register.page(
        context, "liquids", "Liquids", "What is in the tanks. What is not given cannot be assessed.",
        ("Liquid", "Name", "Density", "Temperature", "Conductivity", "Hazards", "Solids", "Coating", "Foam", "Tanks"),
        _whole("Liquids", [_liquid(context, tag) for tag in plant.liquids]),
    )
    yield register.page(
        context, "panels", "Panels, supplies and attendance",
        "Where devices are wired to, what powers them, which links end in them, where people are.",
        ("Tag", "What it is", "Where", "Fed from, or live inside", "Voltage or hours", "Loss is shown by"),
        (*register.by_area(context, plant.panels, lambda tag: _panel(context, tag)),
         *_whole("Supplies", [_supply(context, tag) for tag in plant.supplies]),
         *_whole("Attendance", [_attendance(context, tag) for tag in plant.attendance])),
    )
    yield register.page(
        context, "tests", "Proof tests", f"Due dates are judged against {plant.plant.document.as_of}, the day of the data.",
        ("Test sheet", "Proves", "Method", "What is done", "What must be seen", "Every", "Last done", "Next",
         "Restore afterwards"),
        _whole("Tests", [_test(context, tag) for tag in plant.tests]),
    )
    yield register.page(
        context, "references", "References", "Drawings, datasheets, studies and procedures this document rests on.",
        ("Reference", "Title", "Kind", "Revision used", "Latest known"),
        _whole("References", [Row(slug(tag), (cell(tag), cell(one.title), cell(one.kind), cell(one.revision), cell(one.latest)))
                              for tag, one in plant.references.items()]),
    )


def _whole(title: str, rows: list[Row]) -> tuple[Group, ...]:
    return (Group(title, tuple(rows)),) if rows else ()


def _span(one: object) -> Running:
    """Lowest to highest, as written."""
    lowest, highest = getattr(one, "lowest", None), getattr(one, "highest", None)
    if not isinstance(lowest, Quantity) or not isinstance(highest, Quantity):
        return ("not given",)
    return (f"{lowest.written} to {highest.written}",)


def _said(flag: bool | None) -> str | None:
    return {True: "yes", False: "no", None: None}[flag]


def _control(context: Context, tag: str) -> Row:
    control = context.plant.controls[tag]  # type: ignore[index]  # a tag of the plant
    if isinstance(control, StartStop):
        starts, stops = register.links(context, control.starts), register.links(context, (control.stops,))
    else:
        starts, stops = register.links(context, (control.measures,)), (f"a rising level {control.rising_level} it",)
    return Row(slug(tag), (
        cell(tag), cell(context.paths.link(control.tank)), cell(control.kind), cell(context.paths.link(control.moves)),
        cell(starts), cell(stops), cell(control.by), cell(running(context, control.note) or "none"),
    ))


def _group(context: Context, tag: str) -> Row:
    group = context.plant.pump_groups[tag]  # type: ignore[index]  # a tag of the plant
    inlet = context.plant.pumps[group.pumps[0]].inlet
    return Row(slug(tag), (
        cell(tag), cell(context.paths.link(inlet.tank) if inlet else "outside"), cell(group.arrangement),
        cell(register.links(context, group.pumps)),
        cell("duty changes by itself" if group.alternation else "duty is chosen by hand"),
        cell(f"staggered by {group.stagger.written}" if group.stagger else "not staggered"), cell("pump group"),
        cell(running(context, group.name)),
    ))


def _signal(context: Context, tag: str) -> Row:
    signal = context.plant.signals[tag]  # type: ignore[index]  # a tag of the plant
    return Row(slug(tag), (
        cell(tag), cell(running(context, signal.service)), cell(signal.kind), cell(running(context, signal.condition)),
        cell(context.paths.link(signal.at) if signal.at else None), cell(signal.fails),
        cell(context.paths.link(signal.of) if signal.of else "none"),
        cell(register.links(context, context.plant.interlocks_of_cause[tag])),
    ))


def _stream(context: Context, tag: str) -> Row:
    stream = context.plant.streams[tag]  # type: ignore[index]  # a tag of the plant
    ends = [context.paths.link(end) if end in context.plant.tanks else str(end) for end in (stream.from_, stream.into)]
    flow = stream.flow
    return Row(slug(tag), (
        cell(tag), cell(running(context, stream.name)), cell(ends[0]), cell(ends[1]),
        cell(flow.lowest.written if flow.lowest else None), cell(flow.normal.written if flow.normal else None),
        cell(flow.highest.written), cell(_arrives(context, stream)), cell(register.links(context, stream.through)),
        cell(_moved(context, stream)),
        cell(amounts.amount(stream.drains_after_stop.si, "volume") if stream.drains_after_stop else "not given"),
    ))


def _arrives(context: Context, stream: Stream) -> Running:
    """The temperature with which a stream arrives: its own, else that of the liquid in the tank it leaves."""
    source = context.plant.tanks.get(stream.from_)
    if stream.temperature is not None or source is None:
        return _span(stream.temperature)
    return (*_span(context.plant.liquids[source.liquid].temperature), f", as {source.liquid}")


def _moved(context: Context, stream: Stream) -> Running:
    """What moves a stream, and what uses it up."""
    moved = (context.paths.link(stream.moved_by),) if stream.moved_by else ("gravity or another site",)
    return (*moved, ", used by ", *register.links(context, stream.used_by)) if stream.used_by else moved


def _case(context: Context, tag: str) -> Row:
    case = context.plant.cases[tag]  # type: ignore[index]  # a tag of the plant
    return Row(slug(tag), (
        cell(tag), cell(running(context, case.name)), cell("operating case"), cell("ordinary" if case.normal else "other"),
        cell(register.links(context, case.streams)), *[cell("")] * 5, cell(running(context, case.because)),
    ))


def _liquid(context: Context, tag: str) -> Row:
    liquid = context.plant.liquids[tag]  # type: ignore[index]  # a tag of the plant
    tanks = [one for one, tank in context.plant.tanks.items() if tank.liquid == tag]
    return Row(slug(tag), (
        cell(tag), cell(running(context, liquid.name)), cell(_span(liquid.density)), cell(_span(liquid.temperature)),
        cell(_span(liquid.conductivity)), cell(", ".join(liquid.hazards) if liquid.hazards else None),
        cell(", ".join(liquid.solids) if liquid.solids else None), cell(_said(liquid.coating)), cell(_said(liquid.foam)),
        cell(register.links(context, tanks)),
    ))


def _panel(context: Context, tag: str) -> Row:
    panel = context.plant.panels[tag]  # type: ignore[index]  # a tag of the plant
    ends = [one for one, link in context.plant.links.items() if tag in link.between]
    volts = [supply.voltage.written for one in panel.supplies if (supply := context.plant.supplies[one]).voltage]
    return Row(slug(tag), (
        cell(tag), cell("panel"), cell(running(context, panel.where)), cell(
            register.links(context, panel.supplies), *((" and ", register.links(context, ends)) if ends else ())),
        cell(", ".join(dict.fromkeys(volts)) or None), cell("none"),
    ))


def _supply(context: Context, tag: str) -> Row:
    supply = context.plant.supplies[tag]  # type: ignore[index]  # a tag of the plant
    return Row(slug(tag), (
        cell(tag), cell(supply.kind), cell("whole plant"),
        cell(context.paths.link(supply.fed_from) if supply.fed_from else "outside"),
        cell(" ".join(one.written for one in (supply.voltage, supply.lasts) if one) or None),
        cell(context.paths.link(supply.loss_shown_by) if supply.loss_shown_by else None),
    ))


def _attendance(context: Context, tag: str) -> Row:
    place = context.plant.attendance[tag]  # type: ignore[index]  # a tag of the plant
    return Row(slug(tag), (
        cell(tag), cell("place where people are"), cell(running(context, place.name)), cell("none"),
        cell(running(context, place.present)), cell("none"),
    ))


def _test(context: Context, tag: str) -> Row:
    test = proofs.row(context, Tag(tag))
    return Row(slug(tag), (
        cell(test.test), cell(register.links(context, context.plant.tests[Tag(tag)].covers)), cell(test.method),
        cell(test.steps), cell(test.passes), cell(test.interval), cell(test.last), cell(test.due), cell(test.restores),
    ))
