"""Links between panels: their register, and the words by which other pages tell what crosses one."""

from collections.abc import Iterable, Iterator

from generator.model.link import DataLink
from generator.model.page import Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import failure_register, register
from generator.pages.context import Context
from generator.pages.failures import anchor
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Row, cell
from generator.pages.story import Fact

COLUMNS = ("Link", "What it is", "Between", "Signals", "Messages", "Orders", "Serves", "Carries within", "Taken as lost after",
           "Signals then", "Orders then", "Loss is shown by", "If it is lost")
SIGNALS = {"bad": "count as bad signals", "hold": "stay as they were last", "open": "look like open contacts"}
ORDERS = {"hold": "outputs hold their last order", "drop": "outputs drop: what they drive is without its drive"}
NOT_RECORDED = "not recorded"


def pages(context: Context) -> Iterator[Page]:
    """The register, where the plant has a link."""
    if context.plant.links:
        yield register.page(
            context, "links", "Links",
            "What carries signals and orders between panels, and what each end does when it is lost. Until the loss is noticed "
            "everything stays as it was.", COLUMNS,
            register.by_area(context, context.plant.links, lambda tag: _row(context, Tag(tag))))


def _row(context: Context, tag: Tag) -> Row:
    link, across = context.plant.links[tag], context.results.crossings[str(tag)]
    carried = [one for one in link.carries if context.plant.noun_of[one] in ("switches", "instruments", "signals")]
    told = [one for one in link.carries if one in context.plant.interlocks]
    lost = next((f"{failure_register.PATH}#{anchor(effect)}" for effect in context.results.failures.get(str(tag), ())), "")
    return Row(slug(tag), (
        cell(tag), cell(running(context, link.service), f", {link.kind}" if link.kind else ""),
        cell(register.links(context, link.between)), cell(register.links(context, carried)), cell(register.links(context, told)),
        cell(register.links(context, across.devices)), cell(register.links(context, across.functions)),
        cell(link.carries_within.written if link.carries_within else None),
        cell(link.watched_for.written if link.watched_for else None),
        cell(signals_then(link) if across.signals else "carries none"),
        cell(orders_then(link) if across.devices else "carries none"),
        cell(context.paths.link(link.loss_shown_by) if link.loss_shown_by else None),
        cell(_door(lost)),
    ))


def _door(path: str) -> Running:
    return (Link("what it does", path),) if path else ("nothing",)


def signals_then(link: DataLink) -> str:
    """What the signals count as once the link is taken as lost."""
    return SIGNALS.get(link.received_signals or "", NOT_RECORDED)


def orders_then(link: DataLink) -> str:
    """What outputs do once the link is taken as lost."""
    return ORDERS.get(link.orders or "", NOT_RECORDED)


def facts(context: Context, tags: Iterable[str]) -> tuple[Fact, ...]:
    """What of some functions and things crosses a link, one row a link."""
    asked = frozenset(map(str, tags))
    made: list[Fact] = []
    for name, across in context.results.crossings.items():
        signals = [signal for function, signal in across.read if function in asked or signal in asked]
        orders = [device for function, device in across.orders if function in asked or device in asked]
        messages = [alarm for alarm in across.messages if alarm in asked or str(
            context.plant.alarms[Tag(alarm)].from_) in asked]
        if not (signals or orders or messages):
            continue
        said: list[Running] = []
        if signals:
            said.append(("signals of ", *register.links(context, dict.fromkeys(signals))))
        if orders:
            said.append(("orders to ", *register.links(context, dict.fromkeys(orders))))
        if messages:
            said.append(("the message of ", *register.links(context, messages)))
        link = context.plant.links[Tag(name)]
        then = [*([f"its signals {signals_then(link)}"] if signals else []), *([orders_then(link)] if orders else [])]
        after: Running = (f"; when that is lost, {' and '.join(then)}",) if then else ()
        parts: Running = tuple(part for number, one in enumerate(said) for part in (*((", ",) if number else ()), *one))
        made.append(Fact("Over a link", (context.paths.link(name), ": ", *parts, *after)))
    return tuple(made)
