"""Facts of a switch and its instrument: how it senses, where it sits, how it is wired and tried."""

import re
from collections.abc import Iterable, Mapping

from generator.compute.facts import NOTHING, Fact, Subject, joined, yes_no
from generator.model.record import Record
from generator.model.scalar import Tag


def technology(subject: Subject) -> Fact:
    """How the instrument senses."""
    if subject.body is None:
        return NOTHING
    return Fact({subject.body.technology: f"{subject.body_tag}: {subject.body.technology}"})


def nozzle_on(subject: Subject) -> Fact:
    """Where the nozzle sits: wall, roof or floor; `none` for a device that hangs free."""
    if subject.body is None:
        return NOTHING
    name = subject.body.nozzle
    if name is None:
        return Fact({"none": f"{subject.body_tag} hangs free"})
    nozzle = subject.plant.tanks[subject.body.tank].nozzles.get(Tag(name))
    if nozzle is None:
        return Fact(missing=(("its nozzle", f"tanks/{subject.body.tank}/nozzles/{name}"),))
    return Fact({nozzle.on: f"nozzle {name} in the {nozzle.on}"})


def isolation(subject: Subject) -> Fact:
    """Whether something shuts the nozzle; a device that hangs free has none to shut."""
    if subject.body is None or subject.body.nozzle is None:
        return NOTHING
    name = subject.body.nozzle
    nozzle = subject.plant.tanks[subject.body.tank].nozzles.get(Tag(name))
    by = nozzle.isolated_by if nozzle is not None else None
    if by is None:
        field = f"tanks/{subject.body.tank}/nozzles/{name}/isolated_by"
        return Fact(missing=(("what shuts the nozzle", field),))
    return Fact({"no": f"nozzle {name}: nothing shuts it"} if by == "none" else {"yes": f"nozzle {name}: {by}"})


def chamber(subject: Subject) -> Fact:
    """Whether the device sits in a chamber."""
    if subject.body is None:
        return NOTHING
    return yes_no(subject.body.chamber, f"{subject.body_tag} sits in a chamber", "", "")


def several_points(subject: Subject) -> Fact:
    """Whether the body carries other points too."""
    if subject.body_tag is None:
        return NOTHING
    points = subject.plant.points_of[subject.body_tag]
    return yes_no(len(points) > 1, f"{subject.body_tag} carries {', '.join(points)}", "", "")


def shared_guide(subject: Subject) -> Fact:
    """Whether another instrument of the tank hangs on the same well, bridle or guide."""
    if subject.body is None:
        return NOTHING
    guide = subject.body.stilling_well
    others = [tag for tag in subject.plant.instruments_of[subject.body.tank] if tag != subject.body_tag
              and guide is not None and subject.plant.instruments[tag].stilling_well == guide]
    return yes_no(bool(others), f"{guide} also carries {', '.join(others)}" if others else "a shared guide", "", "")


def known_defect(subject: Subject) -> Fact:
    """Whether a defect of the device stands."""
    if subject.body is None:
        return NOTHING
    defect = subject.body.known_defect
    return yes_no(defect is not None, f"{subject.body_tag}: {defect}", "", "")


def holds_last_state(subject: Subject) -> Fact:
    """Whether the contact keeps its last state until the float passes back."""
    if subject.switch is None or subject.switch.contact is None:
        return NOTHING
    return yes_no(subject.switch.contact.keeps_state, f"{subject.tag}: contact keeps its state", "", "")


def fails_safe(subject: Subject) -> Fact:
    """Whether the contact fails to the safe side, as worked out from contact, wiring and function."""
    result = subject.contacts.get(subject.tag) if subject.kind == "switch" else None
    if result is None or result.is_fail_safe is None:
        return NOTHING
    return Fact({"yes" if result.is_fail_safe else "no": f"{subject.tag}: {result.why}"})


def at_or_above_overflow(subject: Subject) -> Fact:
    """Whether a rising point that is no spill detector can act only when liquid already leaves the tank."""
    point = subject.switch
    if point is None or point.acts == "falling" or point.role == "spill detection":
        return NOTHING
    setpoint, ceiling = subject.setpoints.get(subject.tag), subject.tanks[subject.plant.tank_of(subject.tag)].ceiling
    if setpoint is None or setpoint.act is None:
        return Fact(missing=(("the height at which it acts", f"switches/{subject.tag}/height"),))
    if not isinstance(ceiling, Record):
        return Fact(missing=(("the height at which liquid leaves the tank", "; ".join(ceiling.missing)),))
    late = setpoint.act.high >= ceiling.value
    return yes_no(late, f"{subject.tag} can act as late as where liquid leaves the tank", "", "")


def similar_tag(subject: Subject) -> Fact:
    """Whether something of the same kind beside it has a tag that is easily taken for its own; a point on the same body is none.

    Beside it is the same tank, with devices of the same type. Terminals side by side in a panel are told of once for each tank.
    """
    if subject.kind == "interlock":
        return NOTHING
    near = [one for one in subject.look_alikes.get(subject.tag, ()) if subject.switch is None
            or subject.plant.switches[Tag(one)].in_ != subject.body_tag]
    said = [f"{subject.tag} and {', '.join(near)}"] if near else []
    said += subject.in_panels_of.get(subject.tag, ()) if subject.kind == "tank" else ()
    return yes_no(bool(said), f"{'; '.join(said)}: easily taken for each other", "", "")


def look_alikes(tags: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """For each tag those that are easily taken for it.

    Two tags look alike that share a signature: the tag without hyphens and with the letters O, I, S, B read as 0, 1,
    5, 8; the tag with one digit left open; the tag with two neighbouring digits in either order. Letters are read: who
    looks for a low switch does not stop at a high one, and A and B are told apart on purpose.

    >>> look_alikes(["LSH-210", "LSL-210", "LSH-201", "LSH-2I0", "LSH-220", "LSH-210A"])["LSH-210"]
    ('LSH-201', 'LSH-2I0', 'LSH-220')
    """
    sharing: dict[str, list[str]] = {}
    for tag in tags:
        for signature in _signatures(tag):
            sharing.setdefault(signature, []).append(tag)
    alike: dict[str, dict[str, None]] = {tag: {} for tag in tags}
    for group in sharing.values():
        for tag in group:
            alike[tag] |= dict.fromkeys(other for other in group if other != tag)
    order = {tag: number for number, tag in enumerate(tags)}
    return {tag: tuple(sorted(others, key=order.__getitem__)) for tag, others in alike.items()}


def _signatures(tag: str) -> set[str]:
    plain = re.sub(r"[-_ ./]", "", tag.upper()).translate(str.maketrans("OISB", "0158"))
    opened = {f"{tag[:place]}\0{tag[place + 1:]}" for place, sign in enumerate(tag) if sign.isdigit()}
    swapped = {f"{tag[:place]}\1{''.join(sorted(tag[place:place + 2]))}\1{tag[place + 2:]}"
               for place in range(len(tag) - 1) if tag[place:place + 2].isdigit()}
    return {plain, *opened, *swapped}


# ---- tests -----------------------------------------------------------------------------------------------------------


def test_methods(subject: Subject) -> Fact:
    """How the subject is tested; nothing where no test covers it."""
    return joined(Fact({subject.plant.tests[tag].method: f"test {tag}: {subject.plant.tests[tag].method}"})
                  for tag in subject.plant.tests_of[subject.tag])


def tested_only_dry(subject: Subject) -> Fact:
    """Whether tests exist and none of them wets the sensor."""
    if subject.kind not in ("switch", "interlock"):
        return NOTHING
    tests = subject.plant.tests_of[subject.tag]
    if not tests:
        return NOTHING
    dry = all(subject.plant.tests[tag].method != "wetted" for tag in tests)
    return yes_no(dry, f"no test of {', '.join(tests)} is wetted", "", "")


def test_means(subject: Subject) -> Fact:
    """How the points of the body are tried without moving the level."""
    if subject.body is None:
        return NOTHING
    if subject.body.test_means is None:
        return Fact(missing=(("means of trying it", f"instruments/{subject.body_tag}/test_means"),))
    return Fact({subject.body.test_means: f"{subject.body_tag}: tried by {subject.body.test_means}"})
