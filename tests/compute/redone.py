"""A calculation record done again from nothing but what it shows: its equation and its inputs.

Reads the small part of LaTeX that the records use. `V(...)` and the inverse of it are the vessel of the tank whose capacity
is an input. What follows the first comma of an equation are definitions of further symbols.
"""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from scipy import integrate

from generator.model.record import Record
from generator.model.results import Vessel

TOKEN = re.compile(r"\\left|\\right|\\[a-zA-Z]+|\\[,;]|[0-9]+(?:\.[0-9]+)?|[a-zA-Z]|[-+=^_(){}|,/']")
FUNCTIONS: dict[str, Callable[[float], float]] = {
    r"\arccos": lambda share: math.acos(min(1.0, max(-1.0, share))),
    r"\sin": math.sin, r"\cos": math.cos, r"\arcsin": math.asin, r"\ln": math.log}
WORDS: dict[str, Callable[[float], float]] = {"round": lambda one: float(round(one)), "arcosh": math.acosh}
CONSTANTS = {r"\pi": math.pi, "g": 9.80665, "mA": 1e-3}
RELATIONS = ("=", r"\le", r"\ge")
NOTHING = (r"\text", r"\mathrm", r"\operatorname", r"\,", r"\;", r"\quad", r"\left", r"\right")


class NotReadError(Exception):
    """The equation has a form that this reader does not know, or a symbol that nothing gives."""


def key(symbol: str) -> str:
    """A symbol as the reader names it: no blanks, no braces, no text command."""
    return re.sub(r"[\s{}]|\\text|\\mathrm|\\left|\\right|\\,", "", symbol)


@dataclass
class Reader:
    """One equation with what its symbols stand for."""

    tokens: list[str]
    known: Mapping[str, float]
    definitions: Mapping[str, list[str]]
    vessel: Vessel | None = None
    at: int = 0
    inside: frozenset[str] = field(default_factory=frozenset)

    # ---- tokens ----------------------------------------------------------------------------------------------------

    @property
    def here(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self, wanted: str = "") -> str:
        token = self.here
        if wanted and token != wanted:
            raise NotReadError(f"{wanted} expected, {token or 'the end'} found in {' '.join(self.tokens)}")
        self.at += 1
        return token

    def group(self) -> str:
        """The raw tokens of a group in braces, or of a single token."""
        if self.here != "{":
            return self.take()
        depth, start = 0, self.at + 1
        while True:
            token = self.take()
            depth += (token == "{") - (token == "}")
            if depth == 0:
                return " ".join(self.tokens[start:self.at - 1])

    # ---- grammar ---------------------------------------------------------------------------------------------------

    def sum(self) -> float:
        total = self.product(-1.0) if self.here == "-" and self.take() else self.product()
        while self.here in ("+", "-"):
            total += self.product(-1.0 if self.take() == "-" else 1.0)
        return total

    def product(self, sign: float = 1.0) -> float:
        value = sign * self.power()
        while self.here and self.here not in ("+", "-", "=", ")", "}", ",", "|", r"\rfloor", r"\rceil", *RELATIONS):
            if self.here == r"\cdot":
                self.take()
            value *= self.power()
        return value

    def power(self) -> float:
        base = self.base()
        while self.here == "^":
            self.take()
            power = self.of(self.group())
            base = max(base, 0.0)**power if abs(base) < 1e-9 else base**power  # a root of what rounding left under nothing
        return base

    def of(self, text: str) -> float:
        """The value of a piece of text, with the same symbols."""
        inner = Reader(tokens(text), self.known, self.definitions, self.vessel, inside=self.inside)
        value = inner.sum()
        if inner.here:
            raise NotReadError(f"{inner.here} left over in {text}")
        return value

    def inside_brackets(self) -> list[float]:
        self.take("(")
        values = [self.sum()]
        while self.here == ",":
            self.take()
            values.append(self.sum())
        self.take(")")
        return values

    def base(self) -> float:
        token = self.here
        if re.fullmatch(r"[0-9.]+", token):
            return float(self.take())
        if token == "(":
            (value,) = self.inside_brackets()
            return value
        if token == "|":
            self.take()
            value = abs(self.sum())
            self.take("|")
            return value
        if token in (r"\lfloor", r"\lceil"):
            self.take()
            value = self.sum()
            self.take()
            return float(math.floor(value + 1e-6) if token == r"\lfloor" else math.ceil(value - 1e-6))
        if token in (r"\min", r"\max") and self.tokens[self.at + 1:self.at + 2] == ["("]:
            self.take()
            return (min if token == r"\min" else max)(self.inside_brackets())
        if token == r"\frac":
            self.take()
            return self.of(self.group()) / self.of(self.group())
        if token == r"\sqrt":
            self.take()
            return math.sqrt(max(self.of(self.group()), 0.0))
        if token in FUNCTIONS and f"{token}{self.tokens[self.at + 1]}" not in map(key, self.known):
            self.take()
            return FUNCTIONS[token](self.power())
        for word, function in WORDS.items():
            if self.tokens[self.at:self.at + len(word) + 2] == ["{", *word, "}"]:
                self.at += len(word) + 2
                return function(self.inside_brackets()[0])
        if token == "{":
            return self.of(self.group())
        if token == r"\int":
            return self.integral()
        return self.symbol()

    def integral(self) -> float:
        """An integral from below to above, over a letter that its end names: dy."""
        self.take()
        self.take("_")
        low = self.of(self.group())
        self.take("^")
        high = self.of(self.group())
        rest = self.tokens[self.at:]
        letter = "x" if "y" in self.known else "y"  # the inner one of two is over x
        end = next(place for place in range(len(rest) - 1) if rest[place] == "d" and rest[place + 1] == letter)
        self.at += end + 2
        body = " ".join(rest[:end])

        def inner(value: float) -> float:
            return Reader(tokens(body), {**self.known, letter: value}, self.definitions, self.vessel, inside=self.inside).sum()

        return float(integrate.quad(inner, low, high, epsrel=1e-7, epsabs=1e-9, limit=30)[0])

    def symbol(self) -> float:
        """The longest symbol that begins here; the volume at a height, or the height of a volume, where it is V."""
        begin, name = self.at, ""
        found, after = "", self.at
        while self.at < len(self.tokens) and self.here not in ("+", "=", "(", ")", "|", ",", "^", "}"):
            token = self.take()
            name += f"_{self.group()}" if token == "_" else token
            if self.here == "_":
                continue
            if key(name) in self.known or key(name) in self.definitions or key(name) in CONSTANTS:
                found, after = key(name), self.at
            if token == "-" or len(name) > 60:
                break
        self.at = after if found else begin
        if not found:
            raise NotReadError(f"nothing gives {key(name) or self.here!r}")
        if found == "V" and self.vessel is not None and (self.here == "(" or self.tokens[self.at:self.at + 5] == [
                "^", "{", "-", "1", "}"]):
            if self.here == "(":
                return self.vessel.volume_at(self.inside_brackets()[0])
            self.at += 5
            return self.vessel.level_at(self.inside_brackets()[0])
        if found in self.known:
            return self.known[found]
        if found in self.definitions and found not in self.inside:
            inner = Reader(self.definitions[found], self.known, self.definitions, self.vessel, inside=self.inside | {found})
            return inner.sum()
        return CONSTANTS[found]


def tokens(text: str) -> list[str]:
    """The tokens that mean something."""
    return [one for one in TOKEN.findall(text) if one not in NOTHING]


def parts(equation: str) -> list[str]:
    """The equation and the definitions behind it."""
    return [one.strip() for one in equation.split(r", \quad ")]


def sides(text: str) -> tuple[str, str]:
    """What stands before and after the relation; nothing before where there is none."""
    for relation in (r"\le ", r"\ge ", "="):
        before, found, after = text.partition(relation)
        if found:
            return before.strip(), after.strip()
    return "", text


def definitions_of(equation: str) -> dict[str, list[str]]:
    """Symbols that the equation defines itself."""
    made = {}
    for text in parts(equation)[1:]:
        name, body = sides(text)
        made[key(name)] = tokens(body)
    return made


def redone(record: Record, vessel: Vessel | None, **more: float) -> float:
    """The value of a record from its equation and inputs; an equation that only says what holds is tried with the value.

    Raises:
        NotReadError: the equation cannot be read, or does not give the value.
    """
    known = {key(one.symbol): one.value for one in record.inputs} | more
    before, after = sides(parts(record.equation)[0])
    own = definitions_of(record.equation)
    if before and re.search(r"[-+]|\\frac", before) and key(before) not in known:
        return _held(record, before, after, known, own)
    reader = Reader(tokens(after), known, own, vessel)
    value = reader.sum()
    if reader.here:
        raise NotReadError(f"{reader.here} left over in {record.equation}")
    if key(before) == "V(h)" and vessel is not None and record.dimension == "length":
        return vessel.level_at(value)
    return value


def _held(record: Record, before: str, after: str, known: dict[str, float], own: dict[str, list[str]]) -> float:
    """The value of a record if it makes both sides of its equation the same, else nothing like it."""
    symbol = next((one for one in ("d", "h", "t") if one not in known), "")
    left, right = (Reader(tokens(side), known | {symbol: record.value}, own).sum() for side in (before, after))
    return record.value if math.isclose(left, right, rel_tol=1e-6) else math.nan
