"""What one failure does, as a row ready to place: on the page of a tank, of an interlock, of a switch, in the register."""

from collections.abc import Callable, Collection, Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from generator.model.failure import Exposure, FailureEffect, Fewer, Layer
from generator.model.page import Amount, Link, Part, Running
from generator.model.record import Record
from generator.model.scalar import Tag
from generator.pages import amounts, comparisons
from generator.pages.context import Context
from generator.pages.logic_words import ACTION, height, remaining, sentence_list
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.spilled import beside

LEVELS = {"rising": "high", "falling": "low"}
MOST = 12
"""Most tags that one cell names; the rest is a number."""
MOST_CUT = 4
"""Most interlocks of which one cell says what each no longer moves; of more it says only that they reach a part."""


class HazardRow(Struct, frozen=True):
    """A hazard that the failure touches, what still stands against it, and the time to it."""

    hazard: Link
    what: str
    is_demanded: bool
    remains: Running
    is_bare: bool
    consequence: Amount
    beside: Running
    """That time while another tank overflows into the one of the hazard; empty where none does."""


class FailureRow(Struct, frozen=True):
    """One failure. `mark` says how it shows: "fail" where nobody is told, "high" where something acts, "cannot" where
    the definitions do not say what it does, or a part of it, else "pass"."""

    anchor: str
    device: Link
    mode: str
    mark: str
    at_once: Running
    lost: Running
    sees: Running
    hazards: tuple[HazardRow, ...]
    standing: str
    note: str
    find: str
    elsewhere: Running = ()
    """On the page of one interlock: what the failure touches beside the interlock's own hazard, and where that stands."""


def rows(context: Context, effects: Iterable[FailureEffect]) -> tuple[FailureRow, ...]:
    """Rows in the order given."""
    return tuple(row(context, effect) for effect in effects)


def focused(
    effect: FailureEffect, hazards: Callable[[str], bool], functions: Callable[[str], bool],
    tanks: Callable[[str], bool],
) -> FailureEffect:
    """The same failure as far as it concerns some hazards, functions and tanks."""
    return replace(
        effect, acts=tuple(filter(functions, effect.acts)), lost=tuple(filter(functions, effect.lost)),
        weakened=tuple(filter(functions, effect.weakened)), alarms_lost=tuple(filter(functions, effect.alarms_lost)),
        controls=tuple(one for one in effect.controls if functions(one[0])),
        levels=tuple(one for one in effect.levels if tanks(one[0])),
        exposures=tuple(one for one in effect.exposures if hazards(one.hazard)),
        blind=tuple(one for one in effect.blind if functions(one.interlock)),
        cut=tuple(one for one in effect.cut if functions(one.interlock)),
        reduced=tuple(one for one in effect.reduced if functions(one[0])),
        later=tuple(one for one in effect.later if functions(one.interlock)),
        fewer=tuple(one for one in effect.fewer if functions(one.control)),
        sees_later=effect.sees_later if any(functions(one.interlock) for one in effect.later) else (),
        unassessed=tuple(one for one in effect.unassessed if functions(one[0])),
    )


def touches(effect: FailureEffect) -> bool:
    """Whether a failure does anything to what it is focused on."""
    return bool(effect.acts or effect.lost or effect.weakened or effect.alarms_lost or effect.controls
                or effect.exposures or effect.reduced or effect.fewer or effect.later or effect.unassessed)


def row(context: Context, effect: FailureEffect) -> FailureRow:
    """One failure as a row."""
    hazards = tuple(hazard_row(context, one) for one in effect.exposures)
    bare = any(one.is_bare for one in hazards)
    mark = "cannot" if effect.is_unknown else "fail" if effect.is_hidden or bare else "cannot" if effect.unassessed else (
        "high" if effect.acts or effect.controls or effect.levels else "pass")
    find = " ".join((effect.device, *_kin(context, effect.device), effect.mode, *effect.lost, *effect.acts,
                     *effect.alarms_lost)).lower()
    return FailureRow(
        anchor(effect), context.paths.link(effect.device), effect.mode, mark, _at_once(context, effect),
        _lost(context, effect), _sees(context, effect), hazards,
        (effect.note or "a known defect") if effect.is_standing else "", "" if effect.is_standing else effect.note,
        f"{find} {find.replace('-', '')}",
    )


def _kin(context: Context, device: str) -> Iterator[str]:
    """A body's points or a point's body: whoever looks for the one wants the other too."""
    if device in context.plant.instruments:
        yield from context.plant.points_of[device]
    elif device in context.plant.switches:
        yield context.plant.switches[Tag(device)].in_


def amounts_of(shown: Iterable[FailureRow]) -> tuple[tuple[Running, Amount], ...]:
    """What of some rows holds numbers."""
    return tuple(((*one.remains, *one.beside), one.consequence) for each in shown for one in each.hazards)


def anchor(effect: FailureEffect) -> str:
    """Where a failure stands on a page."""
    return slug(f"{effect.device} {effect.mode}")


def tags(context: Context, many: Iterable[str]) -> Running:
    """Tags as links, the first of them; how many more there are."""
    known = list(many)
    shown: list[Running] = [(context.paths.link(tag),) for tag in known[:MOST]]
    if len(known) > MOST:
        shown.append((f"{len(known) - MOST} more",))
    return sentence_list(shown)


def _at_once(context: Context, effect: FailureEffect) -> Running:
    """What happens without any demand: interlocks that act, controls that go wrong, levels that move."""
    said: list[Running] = []
    if effect.acts:
        trips = [tag for tag in effect.acts if context.plant.interlocks[Tag(tag)].kind == "trip"]
        others = [tag for tag in effect.acts if tag not in trips]
        said += [(*tags(context, trips), " trips for nothing" if len(trips) == 1 else " trip for nothing")] if trips else []
        said += [(*tags(context, others), " acts for nothing" if len(others) == 1 else " act for nothing")] if others else []
    by_fate: dict[str, list[str]] = {}
    for control, does in effect.controls:
        by_fate.setdefault(does, []).append(control)
    for does, controls in by_fate.items():
        ends = {"runs on": " runs on", "does not run": " does not run", "either": " no longer follows the level"}[does]
        said.append((*tags(context, controls), ends if len(controls) == 1 else ends.replace("runs", "run").replace(
            "does", "do").replace("follows", "follow")))
    ways: dict[str, list[str]] = {}
    said += [(context.paths.link(one.interlock), f" {_acts(context, one.interlock)} for nothing once ",
              context.paths.link(one.signal), f" has been {'on' if one.is_on else 'off'} for {one.time}")
             for one in effect.later]
    for tank, way in effect.levels:
        ways.setdefault(tank, []).append(way)
    either = [tank for tank, moves in ways.items() if len(moves) > 1]
    for way in ("rises", "falls"):
        tanks = [tank for tank, moves in ways.items() if moves == [way]]
        if tanks:
            said.append((*tags(context, tanks), f" {way}" if len(tanks) == 1 else f" {way[:-1]}"))
    if either:
        said.append((*tags(context, either), " may rise or fall"))
    return _sentences(said) or ("cannot be assessed" if effect.is_unknown else "nothing",)


def _acts(context: Context, tag: str) -> str:
    return "trips" if context.plant.interlocks[Tag(tag)].kind == "trip" else "acts"


def _lost(context: Context, effect: FailureEffect) -> Running:
    """What no longer protects."""
    said: list[Running] = []
    blind = {one.interlock for one in effect.blind}
    cut = [one for one in effect.cut if one.interlock in effect.lost]
    parts = [one for one in effect.cut if one.interlock in effect.weakened]
    cut += parts if len(parts) <= MOST_CUT else []
    told = {*blind, *(one.interlock for one in cut)}
    forcing = [tag for tag in effect.lost if context.plant.interlocks[Tag(tag)].kind != "permissive" and tag not in told]
    permissives = [tag for tag in effect.lost if tag not in forcing and tag not in told]
    weakened = [tag for tag in effect.weakened if tag not in told]
    if forcing:
        said.append((*tags(context, forcing), " can no longer act"))
    if permissives:
        said.append((*tags(context, permissives), " permits no start"))
    said += [(context.paths.link(one.interlock), f" can no longer act against {LEVELS[one.direction]} level in ",
              context.paths.link(one.tank), " (it still acts by ", *tags(context, one.by), ")") for one in effect.blind]
    said += [(context.paths.link(one.interlock), " can no longer ", *_moves(context, one.missed, ""), " (it still ",
              *_moves(context, one.reached, "s"), ")") for one in cut]
    if weakened:
        said.append((*tags(context, weakened), " reaches only a part of what it drives"
                     if len(weakened) == 1 else " reach only a part of what they drive"))
    deaf = [tag for tag in effect.alarms_lost if context.plant.alarms[Tag(tag)].from_ in blind]
    silent = [tag for tag in effect.alarms_lost if tag not in deaf]
    if silent:
        said.append((*tags(context, silent), " can no longer sound"))
    if deaf:
        said.append((*tags(context, deaf), " no longer sounds at that level" if len(deaf) == 1
                     else " no longer sound at that level"))
    said += [_fewer(context, one) for one in effect.fewer]
    for tag in dict.fromkeys(lock for lock, _ in effect.reduced):
        said.append((context.paths.link(tag), " no longer acts by ",
                     *tags(context, (cause for lock, cause in effect.reduced if lock == tag))))
    for why in dict.fromkeys(why for _, why in effect.unassessed):
        said.append((*tags(context, [tag for tag, other in effect.unassessed if other == why]),
                     " cannot be assessed: ", *running(context, why)))
    return _sentences(said) or ("cannot be assessed" if effect.is_unknown else "nothing",)


def _fewer(context: Context, fewer: Fewer) -> Running:
    """Which pump a control of several now starts by which point, and how many it no longer starts."""
    control = context.plant.controls[Tag(fewer.control)]
    written = list(map(str, getattr(control, "starts", ())))
    moved = [(f"pump {number} starts by ", context.paths.link(point), " at ", height(context, point))
             for number, point in enumerate(fewer.starts, 1) if written[number - 1] != point]
    last: Running = ("one pump fewer of " if fewer.without == 1 else f"{fewer.without} pumps fewer of ",
                     context.paths.link(control.moves), " runs" if fewer.without == 1 else " run")
    return (*sentence_list(moved), ", and ", *last) if moved else last


def _moves(context: Context, devices: Iterable[tuple[str, str]], ending: str) -> Running:
    """What an interlock does to some devices: "close XV-1 and stop P-1 and P-2", or "closes XV-1" with an ending."""
    by_action: dict[str, list[str]] = {}
    for device, state in devices:
        verb, *rest = ACTION[state].lower().split()
        by_action.setdefault(" ".join((f"{verb}{'es' if ending and verb.endswith('ch') else ending}", *rest)), []).append(device)
    return sentence_list([(f"{action} ", *tags(context, many)) for action, many in by_action.items()])


def _sees(context: Context, effect: FailureEffect) -> Running:
    """What the operator sees first."""
    said: list[Running] = []
    for tag in effect.sees[:3]:
        said.append((context.paths.link(tag), f" “{context.plant.alarms[Tag(tag)].text}”"))
    more = len(effect.sees) - 3
    if more > 0:
        said.append((f"{more} further alarm{'s' if more > 1 else ''}",))
    parts: list[Part] = list(sentence_list(said, "then")) if said else []
    if effect.shown:
        parts.append(f"{'; ' if parts else ''}{effect.shown}")
    late = [tag for tag in effect.sees_later if tag not in effect.sees]
    if late:
        times = " or ".join(dict.fromkeys(one.time for one in effect.later))
        parts += ["; " if parts else "", *tags(context, late), f" after {times}"]
    if parts:
        return tuple(part for part in parts if part != "")
    if effect.is_unknown:
        return ("cannot be assessed",)
    told = comparisons.told(context, [str(_body(context, effect))]) if effect.is_hidden else ()
    if effect.met and not told:
        shown: list[Running] = [(context.paths.link(tag),) for tag in effect.met]
        return ("no alarm of its own; ", *sentence_list(shown, "or"), " when the level gets there")
    if not effect.is_hidden:
        return ("no alarm of its own",)
    return (*told, "; until then nothing") if told else ("nothing: found at the next test",)


def _body(context: Context, effect: FailureEffect) -> str:
    """The body that fails; that of a point whose wire does."""
    point = context.plant.switches.get(Tag(effect.device))
    return effect.device if point is None else str(point.in_)


def hazard_row(context: Context, exposure: Exposure, reduced: Collection[str] = ()) -> HazardRow:
    """A hazard with what still stands against it. `reduced` are interlocks that have one member of their vote out."""
    protecting = [layer for layer in exposure.remains if layer.protects]
    weak = {layer.tag for layer in exposure.weakened}
    said = [(*layer_words(context, layer), *((" (in part)",) if layer.tag in weak else ()),
             *((f", by {remaining(context.plant.interlocks[Tag(layer.tag)])}",) if layer.tag in reduced else ()))
            for layer in protecting]
    said += [(context.paths.link(layer.tag), " (cannot be assessed)") for layer in exposure.unassessed]
    return HazardRow(
        context.paths.link(exposure.hazard), str(context.plant.hazards[Tag(exposure.hazard)].what),
        exposure.is_demanded, sentence_list(said) if said else ("nothing that acts",),
        not protecting and not exposure.unassessed,
        amounts.outcome(exposure.consequence, "minutes") if exposure.consequence else Amount("not known"),
        beside(context, exposure.spilled, 0),
    )


def layer_words(context: Context, layer: Layer) -> Running:
    """A layer with the minutes that it leaves, and what a person needs where that is more."""
    if layer.minutes is None:
        return (context.paths.link(layer.tag),)
    left = amounts.outcome(layer.minutes, "minutes")
    words: Running = (context.paths.link(layer.tag), " (", left, ")")
    if layer.kind == "alarm" and isinstance(layer.minutes, Record) and isinstance(layer.needs, Record) \
            and layer.needs.value > layer.minutes.value:
        words = (*words[:-1], ", a person needs ", amounts.outcome(layer.needs, "minutes"), ")")
    words = (*words[:-1], *beside(context, layer.spilled, 0), ")")
    return words if not layer.idle_while else (
        *words, " except while ", *sentence_list([(context.paths.link(one),) for one in layer.idle_while]),
        " overflows into it")


def _sentences(said: list[Running]) -> Running:
    parts: list[Part] = []
    for one in said:
        parts += ["; " if parts else "", *one]
    return tuple(part for part in parts if part != "")
