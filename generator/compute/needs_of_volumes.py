"""Needs that are judged by volumes: time before a level, gap of a rule, reserve, submergence."""


from msgspec.structs import replace

from generator.compute import run_down
from generator.compute.asked import About, Asked, known, shifted
from generator.compute.book import given
from generator.compute.heights import Unknown
from generator.compute.published_times import OWN_TIME, is_worked_out, times_of
from generator.compute.pump_levels import levels_of
from generator.compute.travel import level_of
from generator.model.need import Before, GapOf, Reserve, Submerges
from generator.model.record import Input
from generator.model.scalar import Tag


def before(need: Before, about: About) -> Asked | Unknown:
    """From the latest action of the point, a time remains until the first edge of a level."""
    tank = about.tank
    if about.rises:
        rate = known(tank.filling if need.rate == "worst" else tank.filling_normal)
    else:
        rate = known(tank.emptying if need.rate == "worst" else tank.emptying_normal)
    edge = about.edge(need.before, "at most" if about.rises else "at least")
    vessel = about.vessel()
    if isinstance(rate, Unknown):
        return rate
    if isinstance(edge, Unknown):
        return edge
    if isinstance(vessel, Unknown):
        return vessel
    sign, mark = (-1, "-") if about.rises else (1, "+")
    height, note = shifted(vessel, edge, sign * rate.value * need.time.si)
    return Asked(height, rf"V^{{-1}}\left( V\left( {edge.expression} \right) {mark} Q t \right)",
                 (*edge.terms, about.vessel_input(), rate.as_input("Q"), given(need.time, "t", "time that must remain")),
                 about.is_on_same_body(need.before), note=note, rate=rate)


def gap_of(need: GapOf, about: About) -> Asked | Unknown:
    """The upper edge of the point stands the gap of a published rule below the lower edge of a level."""
    rule = about.knowledge.rules.get(need.gap_of)
    if need.gap_of not in about.plant.plant.rules_in_force:
        return Unknown(f"the rule {need.gap_of} is not in force for this plant", ("plant/rules_in_force",))
    if rule is None or (rule.time is None and rule.height is None):
        return Unknown(f"{need.gap_of} is no published rule that asks for a gap", ("plant/rules_in_force",))
    edge = about.edge(need.below, "at most")
    if isinstance(edge, Unknown):
        return edge
    heights, expressions, inputs, note = [], [], list(edge.terms), ""
    if rule.time is not None:
        rate, vessel = known(about.tank.filling), about.vessel()
        if isinstance(rate, Unknown):
            return rate
        if isinstance(vessel, Unknown):
            return vessel
        times = times_of(about.plant, about.tank.tag, rule)
        height, note = shifted(vessel, edge, -rate.value * sum(one.value for one in times))
        if is_worked_out(about.plant, about.tank.tag, rule):
            note = "; ".join(one for one in (OWN_TIME, note) if one)
        heights.append(height)
        total = " + ".join(one.symbol for one in times)
        total = total if len(times) == 1 else f"({total})"
        expressions.append(rf"V^{{-1}}\left( V\left( {edge.expression} \right) - Q {total} \right)")
        inputs += [about.vessel_input(), rate.as_input("Q"), *times]
    if rule.height is not None:
        heights.append(edge.height - rule.height)
        expressions.append(f"{edge.expression} - g")
        inputs.append(Input("g", "height that the rule asks for", rule.height, "length", rule.standard))
    expression = expressions[0] if len(expressions) == 1 else rf"\min\left( {', '.join(expressions)} \right)"
    return Asked(min(heights), expression, tuple(inputs), about.is_on_same_body(need.below), rule.scope,
                 f"{rule.standard} ({rule.mark})", note)


def reserve(need: Reserve, about: About) -> Asked | Unknown:
    """When the point acts at its lowest, a reserve still stands above a level."""
    edge, vessel = about.edge(need.above, "at least"), about.vessel()
    if isinstance(edge, Unknown):
        return edge
    if isinstance(vessel, Unknown):
        return vessel
    field = f"switches/{about.point.tag}/height/needs"
    inputs: tuple[Input, ...]
    if need.reserve is not None:
        volume, symbol, inputs = need.reserve.si, "V_r", (given(need.reserve, "V_r", "reserve"),)
    elif need.lasts is not None and need.of is not None:
        flow = about.plant.streams[need.of].flow.highest
        volume, symbol = need.lasts.si * flow.si, "Q t"
        inputs = (given(flow, "Q", f"highest flow of {about.plant.streams[need.of].name}"),
                  given(need.lasts, "t", "how long the reserve lasts"))
    else:
        missing = "of" if need.lasts is not None else "reserve"
        return Unknown("neither a volume nor a time with its stream is given", (f"{field}/{missing}",))
    height, note = shifted(vessel, edge, volume)
    return Asked(height, rf"V^{{-1}}\left( V\left( {edge.expression} \right) + {symbol} \right)",
                 (*edge.terms, about.vessel_input(), *inputs), about.is_on_same_body(need.above), note=note)


def submerges(need: Submerges, about: About) -> Asked | Unknown:
    """After the pump has run down, the liquid still stands over its inlet by the submergence and a margin."""
    pump = about.plant.pumps[need.submerges]
    inlet = pump.inlet
    if inlet is None or inlet.tank != about.tank.tag:
        return Unknown(f"{need.submerges} draws from {pump.suction.tank}, not from {about.tank.tag}")
    depth = known(levels_of(about.plant, need.submerges, about.book)[0])
    if isinstance(depth, Unknown):
        return depth
    inputs = [given(inlet.height, "h_i", f"height of the inlet of {need.submerges}"), depth.as_input("S")]
    height, expression = inlet.height.si + depth.value, "h_i + S"
    if need.by is not None:
        height, expression = height + need.by.si, f"{expression} + m"
        inputs.append(given(need.by, "m", "margin over the submergence"))
    return _run_down(need, about, Asked(height, expression, tuple(inputs), False, depth.validity, depth.reference))


def _run_down(need: Submerges, about: About, asked: Asked) -> Asked | Unknown:
    """Add what the tank's pumps still take from the latest action until they stand."""
    found = run_down.of_pump(run_down.Stop(about.plant, about.tank, Tag(about.point.tag)), need.submerges)
    gaps = f"not recorded and not counted: {', '.join(found.unrecorded)}" if found.unrecorded else ""
    if not found.times:
        return replace(asked, note="run-down after the stop is not given and not counted")
    vessel = about.vessel()
    if isinstance(vessel, Unknown):
        return vessel
    height, note = level_of(vessel, vessel.volume_at(asked.height) + found.volume)
    return replace(asked, height=height, inputs=(*asked.inputs, about.vessel_input(), *found.inputs),
                   note="; ".join(part for part in (note, gaps) if part),
                   expression=rf"V^{{-1}}\left( V\left( {asked.expression} \right) + {found.expression} \right)")
