"""Pumps, valves and other machines as logic diagrams: everything that moves them."""

from textwrap import wrap

from generator.model.diagram import BoxKind, Diagram
from generator.model.interlock import StartStop
from generator.pages.context import Context
from generator.pages.diagrams import WIDE, Drawing
from generator.pages.logic_words import MAY, STANDS


def of_machine(context: Context, tag: str) -> Diagram | None:
    """Every interlock and every control by contacts that moves one machine; None where there is none."""
    plant = context.plant
    drawing = Drawing(context)
    for name in plant.interlocks_of_effect[tag]:
        lock = plant.interlocks[name]
        key = drawing.demand(name, lock)
        held = {"trip": "stays until reset" if lock.latch else "trip", "permissive": "permissive"}.get(
            lock.kind, "lets go by itself"
        )
        function = drawing.add(
            f"function {name}", (str(name), held), "function", context.paths.path(name) or "", str(lock.service)
        )
        drawing.line(key, function)
        states = {state for target, state in lock.then.items() if tag in (target, *plant.members_of(target))}
        for state in sorted(states):
            words, kind = (f"may {MAY[state]}", "permitted") if lock.kind == "permissive" else (STANDS[state], "effect")
            drawing.line(
                function, _target(drawing, context, tag, words, "permitted" if kind == "permitted" else "effect")
            )
    for name in plant.controls_of_element[tag]:
        control = plant.controls[name]
        if isinstance(control, StartStop):
            opens = tag in plant.valves
            _control(drawing, context, tag, str(name), control, ("OPEN", "SHUT") if opens else ("RUNNING", "STOPPED"))
    return drawing.made(f"{tag} causes", f"Everything that moves {tag}") if drawing.nodes else None


def _control(
    drawing: Drawing, context: Context, tag: str, name: str, control: StartStop, states: tuple[str, str]
) -> None:
    for points, state in ((control.starts, states[0]), ((control.stops,), states[1])):
        function = drawing.add(
            f"control {name} {state}", (name, "ordinary running"), "function", context.paths.path(name) or ""
        )
        for point in points:
            drawing.line(drawing.cause(point), function)
        drawing.line(function, _target(drawing, context, tag, state, "effect"))


def _target(drawing: Drawing, context: Context, tag: str, words: str, kind: BoxKind) -> str:
    owner = context.plant.find(tag)
    return drawing.add(f"{tag} {words}", (f"{tag} {words}", *wrap(owner.service, WIDE)), kind)
