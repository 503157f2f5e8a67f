"""The ways in which each thing of a plant can fail, as a damage: which points lie, which devices stand where."""

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from generator.compute.contacts import is_supervised
from generator.compute.damage import Damage
from generator.compute.layers import Layers
from generator.compute.relay_failures import UNKNOWN, Relays
from generator.model.instrument import Instrument
from generator.model.interlock import Modulating
from generator.model.plant import Definitions
from generator.model.results import ContactResult
from generator.model.scalar import Tag


class Mode(Struct, frozen=True):
    """One way in which a device fails. `signals` are those that tell of it, `shown` what else does, in words."""

    device: str
    words: str
    tank: str
    damage: Damage
    signals: tuple[str, ...] = ()
    shown: str = ""
    is_standing: bool = False
    note: str = ""
    is_unknown: bool = False
    unassessed: tuple[tuple[str, str], ...] = ()
    """Functions of which nothing can be said, each with what is not stated."""


def modes(plant: Definitions, layers: Layers, contacts: Mapping[str, ContactResult]) -> Iterator[Mode]:
    """Every way to fail, in the order sensor, wire, signal, relay, supply, panel, logic, pump, valve, machine."""
    measuring = {control.measures for control in plant.controls.values() if isinstance(control, Modulating)}
    for tag, body in plant.instruments.items():
        if plant.points_of[tag] or tag in measuring:
            yield from _body(plant, tag, body)
    yield from _wires(plant)
    yield from _signals(plant)
    yield from _relays(plant)
    for supply in plant.supplies:
        yield _supply(plant, contacts, supply)
    for panel in plant.panels:
        mode = _panel(plant, panel)
        if mode.damage.forced or mode.damage.bad or mode.damage.states:
            yield mode
    yield from _logic(plant)
    yield from _machines(plant, layers)


def _is_transmitter(body: Instrument) -> bool:
    return body.signal == "4-20 mA"


def _body(plant: Definitions, tag: Tag, body: Instrument) -> Iterator[Mode]:
    wet = {str(one): plant.switches[one].acts == "rising" for one in plant.points_of[tag]}
    dry = {one: not acted for one, acted in wet.items()}
    is_transmitter = _is_transmitter(body)
    stands = body.known_defect is not None
    note = str(body.known_defect or "")
    for words, shows, forced in (("reads full" if is_transmitter else "stuck wet", True, wet),
                                 ("reads empty" if is_transmitter else "stuck dry", False, dry)):
        yield Mode(str(tag), words, str(body.tank), Damage({**forced, f"{tag} reads": shows}), is_standing=stands, note=note)
    if is_transmitter:
        still = frozenset((str(tag), *map(str, plant.points_of[tag])))
        yield Mode(str(tag), "holds its last reading", str(body.tank), Damage(still=still), is_standing=stands, note=note)
        bad = frozenset((str(tag), *map(str, plant.points_of[tag])))
        for words in ("wire open", "wire short"):
            yield Mode(str(tag), words, str(body.tank), Damage(bad=bad), shown="the signal leaves its band and shows as failed")


def _wires(plant: Definitions) -> Iterator[Mode]:
    for tag, switch in plant.switches.items():
        body = plant.instruments[switch.in_]
        if switch.contact is None:
            continue
        opens = switch.contact.at_the_point == "opens"
        supervised = is_supervised(body)
        for words, acted in (("wire open", opens), ("wire short", not opens)):
            # A supervised line still carries its contact's state; what it adds is that somebody is told.
            yield Mode(str(tag), words, str(body.tank), Damage({str(tag): acted}),
                       shown="the fault of the line is shown" if supervised else "")


def _signals(plant: Definitions) -> Iterator[Mode]:
    for tag, signal in plant.signals.items():
        if signal.fails is None or not (plant.interlocks_of_cause[tag] or plant.controls_of_point[tag]):
            continue
        tank = next((str(one) for lock in plant.interlocks_of_cause[tag] for one in plant.tanks_of_interlock[lock]), "")
        for words, on in (("wire open", signal.fails == "on"), ("wire short", signal.fails != "on")):
            yield Mode(str(tag), words, tank, Damage({str(tag): on}))


# ---- relays, supplies, panels ------------------------------------------------------------------------------------


def without_drive(plant: Definitions, device: Tag) -> str | None:
    """State to which a device goes without its drive; None where it stays, or where it is not recorded."""
    valve = plant.valves.get(device)
    if valve is not None:
        return valve.fails if valve.fails in ("open", "closed") else None
    if device in plant.pumps:
        return "stopped"
    return "off" if device in plant.equipment else None


def _relays(plant: Definitions) -> Iterator[Mode]:
    for tag, words, tank, damage, note in Relays(plant).modes():
        yield Mode(tag, words, tank, damage, note=note, is_unknown=not damage.forced)


def _dropped_out(plant: Definitions, relays: Iterable[str], damage: Damage, note: str = "") -> tuple[Damage, str]:
    """The same damage with some relays dropped out, and what of that is not recorded."""
    work = Relays(plant)
    relays = list(relays)
    reads = {tag: says for one in relays for tag, says in work.reads(one, "open").items()}
    unknown = [one for one in relays if not work.worked_by.get(one) and work.reach(one)]
    said = [note] if note else []
    said += [f"what {', '.join(unknown)} does {UNKNOWN}"] if unknown else []
    return replace(damage, forced={**damage.forced, **reads}, bad=damage.bad - reads.keys()), "; ".join(said)


def _lost(
    plant: Definitions, bodies: list[Tag], devices: list[Tag], contacts: Mapping[str, ContactResult] | None,
) -> Damage:
    """Bodies and devices without their supply, or cut off with their panel."""
    forced: dict[str, bool] = {}
    bad: set[str] = set()
    for body in bodies:
        if _is_transmitter(plant.instruments[body]):
            bad |= {str(body), *map(str, plant.points_of[body])}
            continue
        for tag in plant.points_of[body]:
            contact = plant.switches[tag].contact
            if contact is None:
                bad.add(str(tag))
                continue
            shows = "open"
            if contacts is not None and tag in contacts:
                shows = contacts[tag].supply_lost or ("open" if contact.at_the_point == "closes" else "closed")
            forced[str(tag)] = (shows == "open") == (contact.at_the_point == "opens")
    states = {str(one): state for one in devices if (state := without_drive(plant, one)) is not None}
    return Damage(forced, frozenset(bad), states=states)


def _supply(plant: Definitions, contacts: Mapping[str, ContactResult], tag: Tag) -> Mode:
    """A supply with everything that hangs on it at once; a store on the way rides it out."""
    dead = {str(one) for one in plant.supplies if tag in plant.feeds_of(one)}
    bodies = [one for one, body in plant.instruments.items()
              if body.wiring is not None and body.wiring.supply is not None and body.wiring.supply in dead]
    devices = [one for noun in (plant.pumps, plant.valves, plant.equipment) for one, owner in noun.items()
               if owner.supply is not None and owner.supply in dead]
    relays = [str(one) for one, relay in plant.relays.items() if relay.supply is not None and relay.supply in dead]
    later = [f"{one} lasts for {supply.lasts.written}" for one, supply in plant.supplies.items()
             if supply.fed_from is not None and supply.fed_from in dead and supply.lasts is not None and one not in dead]
    told = [str(plant.supplies[Tag(one)].loss_shown_by) for one in sorted(dead) if plant.supplies[Tag(one)].loss_shown_by]
    signals = tuple(dict.fromkeys(one for one in told if one in plant.signals))
    shown = "" if signals else ("its loss is shown" if told else "")
    damage, note = _dropped_out(plant, relays, _lost(plant, bodies, devices, contacts), "; ".join(later))
    return Mode(str(tag), "lost", "", damage, signals, shown, note=note)


def _panel(plant: Definitions, tag: Tag) -> Mode:
    bodies = [one for one, body in plant.instruments.items() if body.wiring is not None and body.wiring.panel == tag]
    devices = [one for noun in (plant.pumps, plant.valves, plant.equipment) for one, owner in noun.items()
               if owner.panel == tag]
    relays = [str(one) for one, relay in plant.relays.items() if relay.panel == tag]
    damage, note = _dropped_out(plant, relays, _lost(plant, bodies, devices, None))
    return Mode(str(tag), "dead or cut off", "", damage, note=note)


# ---- logic and machines ------------------------------------------------------------------------------------------


def _logic(plant: Definitions) -> Iterator[Mode]:
    """Each place where logic runs stands still. Outputs that drop leave what they drive without its drive; of outputs that
    hold, or of which it is not recorded, nothing is claimed but that the logic is out of use."""
    places: dict[str, set[str]] = {}
    for tag, lock in plant.interlocks.items():
        if lock.by in ("controller", "safety system"):
            places.setdefault(lock.by, set()).add(str(tag))
    for tag, control in plant.controls.items():
        if control.by is not None:
            name = "controller" if "controller" in control.by else str(control.by)
            places.setdefault(name, set()).add(str(tag))
    stopped = tuple(str(tag) for tag, signal in plant.signals.items() if signal.kind == "controller stopped")
    for name, dead in places.items():
        on_stop = getattr(plant.plant.outputs_on_stop, name.replace(" ", "_"), None)
        words = f"stands still, its outputs {on_stop}" if on_stop else "stands still"
        states = _dropped(plant, dead) if on_stop == "drop" else {}
        yield Mode(name, words, "", Damage(dead=frozenset(dead), states=states), stopped if name == "controller" else ())


def _dropped(plant: Definitions, dead: set[str]) -> dict[str, str]:
    """Where everything stands that the logic drives, once it has lost its drive."""
    driven = [target for tag in sorted(dead) for target in (
        plant.interlocks[Tag(tag)].then if tag in plant.interlocks else (plant.controls[Tag(tag)].moves,))]
    devices = [one for target in driven for one in (plant.members_of(target) or (target,))]
    return {str(one): state for one in devices if (state := without_drive(plant, one)) is not None}


def _machines(plant: Definitions, layers: Layers) -> Iterator[Mode]:
    for tag, pump in plant.pumps.items():
        told = _told(pump.feedback)
        tank = str(pump.inlet.tank) if pump.inlet else _filled_by(plant, tag)
        yield Mode(str(tag), "does not run", tank, Damage(states={str(tag): "stopped"}), shown=told)
        yield Mode(str(tag), "does not stop (contactor welded)", tank, Damage(states={str(tag): "running"}), shown=told)
    for tag, valve in plant.valves.items():
        if valve.kind in ("hand", "check") or not (plant.interlocks_of_effect[tag] or plant.controls_of_element[tag]):
            continue
        streams = [plant.streams[one] for one in layers.liquid.streams_of.get(str(tag), ())]
        tank = next((str(end) for one in streams for end in (one.into, one.from_) if end in plant.tanks), "")
        for words, state in (("stuck open", "open"), ("stuck shut", "closed")):
            yield Mode(str(tag), words, tank, Damage(states={str(tag): state}), shown=_told(valve.feedback))
    for tag, machine in plant.equipment.items():
        if plant.interlocks_of_effect[tag] or plant.controls_of_element[tag]:
            tells = {"horn": "it is heard", "beacon": "it is seen"}.get(machine.kind, "")
            for words, state in (("does not go on", "off"), ("does not go off", "on")):
                yield Mode(str(tag), words, "", Damage(states={str(tag): state}),
                           shown=_told(machine.feedback) or (tells if state == "on" else ""))


def _filled_by(plant: Definitions, tag: str) -> str:
    """The tank that a pump fills which draws from outside; empty where it fills none."""
    return next((str(plant.streams[one].into) for one in plant.streams_of[tag] if plant.streams[one].into in plant.tanks),
                "")


def _told(feedback: object) -> str:
    by, within = getattr(feedback, "by", None), getattr(feedback, "within", None)
    if by is None:
        return ""
    return f"{by} shows it" + (f" within {within.written}" if within is not None else "")
