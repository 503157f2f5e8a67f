"""What has a form but does not fit the place where it stands: a state of another kind of element, a key with nothing."""

from collections.abc import Iterator, Mapping

from generator.model.definition import Mapping as Block
from generator.model.finding import Mistake
from generator.model.plant import Definitions
from generator.model.scalar import Prose, Text
from generator.read import forms, raw, words

STATES = {
    "valves": ("open", "closed"), "pumps": ("stopped", "running"), "pump_groups": ("stopped", "running"),
    "equipment": ("on", "off", "stopped", "running", "sounding"),
}
"""States to which each kind of final element can be driven."""
_ALL = tuple(dict.fromkeys(state for states in STATES.values() for state in states))
_MOVES = ("open", "running", "on", "sounding")


def state_mistakes(whole: Block, nouns: Mapping[str, str]) -> Iterator[Mistake]:
    """Every state that does not fit its element. `nouns` are the nouns of all tags."""
    for tag, lock in raw.blocks(whole, "interlocks"):
        then = raw.block(lock, "then")
        for element, state in then.items():
            noun = nouns.get(element, "")
            allowed = STATES.get(noun, ())
            if not allowed or not isinstance(state, Text) or not state or state in allowed:
                continue
            said = words.MEANT.get(state.lower(), state)
            meant = said if said in allowed else next((one for one in allowed if said in _ALL and (one in _MOVES) == (
                said in _MOVES)), words.nearest(state, allowed) or "")
            yield Mistake(then.values_at[element], "wrong-state", f"interlocks.{tag}.then.{element}",
                          f"{forms.SINGULAR[noun]} is driven to {forms.one_of(allowed).removeprefix('one of ')}",
                          f"{words.shown(state)} stands", f"did you mean `{meant}`?" if meant else "")


def empty_texts(whole: Block) -> Iterator[Mistake]:
    """Every key at which words belong and nothing stands."""
    for noun, at in forms.keys(Definitions).items():
        if noun in whole and noun != "patterns":
            for spot in forms.spots(whole[noun], at, noun, whole.values_at[noun]):
                if spot.form.kind in (Text, Prose) and isinstance(spot.value, Text) and not spot.value.strip():
                    yield Mistake(spot.place, "value-missing", spot.path, "words must stand here", "nothing stands",
                                  "write them, or take the key out where it may be left out")
