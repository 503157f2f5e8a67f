"""What a condition means.

The meaning, in full:

- A point "has acted" from the moment its level passes it in its direction until the level passes the far edge of its
  deadband on the way back; a signal is "on" as long as its condition lasts. `not` is the opposite of exactly that, so
  `{not: LSHH-210}` reads "LSHH-210 is clear".
- `any_of` needs one part, `all_of` every part, `2 of` at least two. A member of a vote counts once, whatever else
  rests on it.
- `held` is judged here for lasting states: its time is taken to be over. Whether a passing state lasts long enough is a
  question of time, not of this module.
- A tag whose state is not known (a dead device that tells nobody) makes whatever depends on it unknown, and nothing
  else: one true part still makes an `any_of` true. This is the strong three-valued logic of Kleene (Introduction to
  Metamathematics, 1952, section 64; from memory). It never claims more than all completions agree on; where the same
  unknown tag stands twice it may claim less.
- For an interlock: its demand is its `when`, after its on-delay and unless bypassed; or its manual stop, which waits
  for no delay and which no bypass takes out.
"""

from collections.abc import Collection

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.interlock import Interlock


def evaluate(condition: Condition, acted: Collection[str], unknown: Collection[str] = ()) -> bool | None:
    """Whether a condition holds when the tags in `acted` have acted, those in `unknown` may have, and no other has.

    Returns:
        True or False; None where it depends on a tag whose state is not known.

    Raises:
        TypeError: a form of condition that this module does not know.

    >>> from generator.model.condition import Condition
    >>> vote = Condition.read({"2 of": ["A", "B", "C"]})
    >>> evaluate(vote, {"A", "C"}), evaluate(vote, {"A"}), evaluate(vote, {"A"}, unknown={"B"})
    (True, False, None)
    """
    match condition:
        case Acted(tag=tag):
            return None if tag in unknown else tag in acted
        case Not(part=part):
            inner = evaluate(part, acted, unknown)
            return None if inner is None else not inner
        case Held(part=part):
            return evaluate(part, acted, unknown)
        case AnyOf(inner=parts):
            return _at_least(1, parts, acted, unknown)
        case AllOf(inner=parts):
            return _at_least(len(parts), parts, acted, unknown)
        case Vote(needed=needed, inner=parts):
            return _at_least(needed, parts, acted, unknown)
        case _:
            raise TypeError(f"unknown form of condition: {type(condition).__name__}")


def _at_least(
    needed: int, parts: tuple[Condition, ...], acted: Collection[str], unknown: Collection[str]
) -> bool | None:
    answers = [evaluate(part, acted, unknown) for part in parts]
    if answers.count(True) >= needed:
        return True
    return False if len(answers) - answers.count(False) < needed else None


def demanded(
    lock: Interlock, acted: Collection[str], unknown: Collection[str] = (), bypassed: bool = False
) -> bool | None:
    """Whether an interlock's cause stands, delays over: its `when` unless bypassed, or its manual stop.

    A permissive is "demanded" when its conditions for a start are met.
    """
    asked = False if bypassed else evaluate(lock.when, acted, unknown)
    stop = lock.manual_stop
    if stop is None or asked:
        return asked
    if stop in unknown:
        return None
    return True if stop in acted else asked
