"""Tags and free text: rules 10.10 to 10.15."""

import re

from generator.check.context import Context
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Point, Sentence, Tagged, Whole
from generator.check.words import listed
from generator.model.units import ALIASES, UNITS

PRACTICE = "common practice, no source"
ISA = "ANSI/ISA-5.1, letters of level functions (from memory)"
_LETTERS = re.compile(r"(?:\d+-?)?L[A-Z]*?(HH|H|LL|L)(?=[-_ ./]?\d|$)")
_SEPARATORS = re.compile(r"[-_ ./]+")


def folded(tag: str) -> str:
    """A tag as a tired reader sees it: separators and case gone, O and I beside a digit taken as 0 and 1.

    >>> folded("P-1O1") == folded("P-101"), folded("LSH-210") == folded("LSHH-210")
    (True, False)
    """
    plain = _SEPARATORS.sub("", tag.upper())
    return re.sub(r"(?<=\d)O|O(?=\d)", "0", re.sub(r"(?<=\d)I|I(?=\d)", "1", plain))


def _twins(context: Context) -> list[list[str]]:
    groups: dict[str, list[str]] = {}
    for noun, members in context.plant.nouns():
        if noun not in ("plant", "modes", "liquids"):
            for tag in members:
                groups.setdefault(folded(tag), []).append(str(tag))
    return [same for same in groups.values() if len(same) > 1]


def _letters(tag: str) -> str:
    found = _LETTERS.match(tag.upper())
    return found[1] if found and not tag.upper().startswith(("LSHL", "LAHL")) else ""


@rule("10.10", "No two tags look the same", scope="plant", severity="error", basis=PRACTICE)
def tags_are_no_near_twins(subject: Whole) -> Answer:
    """Compares all tags with separators and case taken away, and with O read as 0 and I as 1 beside digits.

    Tags that differ by more, such as LSH and LSHH or the letters of a duty and a standby pump, are meant to.
    Cure: spell it as on the drawing, once.
    """
    twins = _twins(subject.context)
    if twins:
        said = "; ".join(listed(same) for same in twins)
        return Fail(f"{said} look the same", said, "spell the tag as on the drawing",
                    also=tuple(tag for same in twins for tag in same))
    return Pass("none look the same")


HAS_LETTERS = When("the tag carries the letters of a high or low level function",
                   lambda point: bool(_letters(point.tag)))


@rule("10.11", "The letters of the tag agree with the direction", scope="point", severity="warning", basis=ISA,
      conditions=(HAS_LETTERS,))
def letters_agree_with_the_direction(point: Point) -> Answer:
    """Compares H and HH with rising, L and LL with falling.

    Cure: correct the direction, or the tag.
    """
    letters = _letters(point.tag)
    says = "rising" if letters[0] == "H" else "falling"
    if says == point.switch.acts:
        return Pass(f"{letters}, {point.switch.acts}")
    return Fail(f"the letters {letters} say {says}, the point acts {point.switch.acts}",
                f"{letters} acts {point.switch.acts}", "correct the direction or the tag",
                at=point.switch.place_of("acts"))


@rule("10.12", "Two letters follow one", scope="point", severity="note", basis=ISA, conditions=(
    When("the tag carries HH or LL", lambda point: _letters(point.tag) in ("HH", "LL")),))
def double_letters_follow_single(point: Point) -> Answer:
    """Asks that a tank with an HH point has an H point or alarm, and one with LL an L, or that `without_alarm` says why
    not.

    Cure: add the point, or the reason.
    """
    letter, plant = _letters(point.tag)[0], point.context.plant
    sources = (*plant.switches_of[point.tank_tag], *plant.instruments_of[point.tank_tag])
    tags = [*sources, *(alarm for source in sources for alarm in plant.alarms_of[source])]
    single = [tag for tag in tags if _letters(tag) == letter]
    if single:
        return Pass(f"beside {listed(single)}")
    if point.switch.without_alarm:
        return Pass("a reason is stated")
    return Fail(f"the tank has no {letter}", f"no {letter} beside {letter * 2}", "add it, or state `without_alarm`")


@rule("10.13", "A retired tag is not used again", scope="tag", severity="error", basis=PRACTICE, conditions=(
    When("it had another tag before", lambda tagged: bool(_formerly(tagged))),))
def retired_tags_stay_retired(subject: Tagged) -> Answer:
    """Asks that no old tag is the tag of something else now.

    Whoever reads an old drawing would work on the wrong device. Cure: another tag.
    """
    used = [tag for tag in _formerly(subject) if tag != subject.tag and tag in subject.context.plant.noun_of]
    if used:
        return Fail(f"{listed(used)} is in use again", f"{listed(used)} in use", "choose another tag", also=tuple(used))
    return Pass(f"formerly {listed(_formerly(subject))}")


def _formerly(subject: Tagged) -> tuple[str, ...]:
    return tuple(getattr(subject.context.plant.find(subject.tag), "formerly", ()))


_PRESSURES = ("bar", "mbar", "kPa", "Pa", "MPa", "psi", "gal", "gpm", "gal/min")
"""Units that a key would not take, but that a text may hold."""
_UNITS = sorted((*UNITS, *ALIASES, *_PRESSURES, "%"), key=len, reverse=True)
_NOT_ALONE = {"in", "m", "s", "h", "d", "g", "A", "V", "W", "L", "l", "K"}
_GLUED = "|".join(re.escape(unit) for unit in _UNITS if unit not in _NOT_ALONE)
_SPACED = "|".join(re.escape(unit) for unit in _UNITS if unit in _NOT_ALONE - {"in"})
_TYPED = re.compile(rf"(?<![\w.{{-])\d+(?:[.,]\d+)?(?:\s?(?:{_GLUED})|\s(?:{_SPACED}))(?![\w/])")


def typed_quantities(text: str) -> list[str]:
    """Numbers with a unit in free text, outside of references in braces.

    >>> typed_quantities("wait 15 min, then open 3 valves of 50 mm; {LSHH-210 height}; {20 s: site rule 4}")
    ['15 min', '50 mm']
    >>> typed_quantities("under 4 bar, 20 V, 3 barriers")
    ['4 bar', '20 V']
    """
    return [match[0] for match in _TYPED.finditer(re.sub(r"\{[^{}]*\}", "", text))]


@rule("10.14", "Free text holds no typed quantities", scope="prose", severity="warning", basis=PRACTICE)
def prose_holds_no_typed_quantity(subject: Sentence) -> Answer:
    """Looks for numbers with a unit that stand in free text.

    When the value changes the sentence stays, and then two values are in force. Cure: a reference such as
    `{LSHH-210 height}`; a number that belongs to nobody's field stands with its source, `{15 min: site rule 4}`.
    """
    typed = typed_quantities(subject.text)
    if typed:
        return Fail(f"typed: {listed(typed)}", listed(typed),
                    "write a reference, or the number with its source in braces")
    return Pass()
