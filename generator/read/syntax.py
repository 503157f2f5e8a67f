"""What is said of a file that is no YAML: the line on which the fault was made, not the one at which reading ended."""

import re

import yaml
from msgspec import Struct, field

from generator.model.finding import Mistake
from generator.model.place import Place

MOST_DEPTH = 40
_CONFLICT = re.compile("^(<{7}|={7}|>{7})( |$)", re.MULTILINE)
"""Lines by which version control marks two versions of the same place."""

_CURES = {
    "cannot start any token": "a tab or a sign such as @ or ` opens a value; indent with spaces, quote the value",
    "mapping values are not allowed": "the indent is wrong, or a colon and a space inside a value need quotes",
    "could not find expected ':'": "a key needs a colon and a space after it; or the indent here or above is wrong",
    "did not find expected key": "the indent differs from the lines above, or a bracket above is not closed",
    "did not find expected ',' or": "a bracket or brace is not closed, or a comma is missing before this",
    "unexpected end of stream": "a quote is not closed",
    "undefined alias": "a * opens a value; put it in quotes",
    "found undefined tag": "a ! opens a value; put it in quotes",
}
"""Cures by what the parser says of a fault."""
ELSE = "look at the line above too: an unclosed quote or bracket, a tab, or a wrong indent"

_TEXT_BELOW = re.compile(r"(?:^|[:-]\s+)[|>][-+0-9]{0,2}\s*(?:#.*)?$")
"""A line whose value is the text on the lines below it."""
_KEY = re.compile(r"\s*(?:- +)*(?:\"[^\"]*\"|'[^']*'|[^\s#'\"{}\[\],:][^#'\"{}\[\],:]*):(?:\s|$)")
_NO_SPACE = re.compile(r"(\s*(?:- +)?)([A-Za-z_][A-Za-z0-9_]*):([^\s:/][^:]*)$")
_INDENT_FAULTS = ("did not find expected key", "mapping values are not allowed", "did not find expected '-'")


def syntax(place: Place, text: str, error: yaml.MarkedYAMLError) -> Mistake:
    """The mistake behind a parser's error that was met at a place of a text."""
    lines = text.split("\n")
    line = lines[place.line - 1] if place.line <= len(lines) else ""
    if line[: max(place.column, len(line) - len(line.lstrip()))].find("\t") >= 0:
        return Mistake(
            place, "tab", "", "lines must be indented with spaces", "a tab stands here", "replace each tab by spaces"
        )
    conflict = _CONFLICT.search(text)
    if conflict is not None:
        there = Place(place.file, text.count("\n", 0, conflict.start()) + 1, 1)
        return Mistake(there, "conflict", "", "one version of each line must stand", f"`{conflict[1]}` marks two of them",
                       "keep the version that is true and delete the other and the marks")
    problem = error.problem or ""
    if "maximum nesting depth" in problem:
        return Mistake(place, "depth", "", f"blocks must not stand more than {MOST_DEPTH} deep", "they do",
                       "look for brackets that nothing closes, or an indent that grows by mistake")
    if "another document" in problem or "expected a single document" in str(error):
        return Mistake(place, "yaml", "", "a file must hold one document", "a second one opens here",
                       "take out the line `---` or make two files")
    scan = _Scan(lines, place.line)
    found = _quote(place, scan) or _no_space(place, lines, problem) or _indent(place, lines, scan, problem)
    if found is not None:
        return found
    rest = line[place.column - 1:]
    stands = f"it cannot be read past `{shown(rest)}`" if rest.strip() else "it cannot be read past this line"
    cure = next((cure for said, cure in _CURES.items() if said in problem), ELSE)
    if "mapping values" in problem and ": " in line[: place.column - 1]:
        cure = "put the value in quotes, for a colon and a space stand in it"
    return Mistake(place, "yaml", "", "the file must be YAML", stands, cure)


def shown(text: str, most: int = 30) -> str:
    """A text as a message shows it: on one line, cut where it is long."""
    text = " ".join(text.split()).replace("`", "'")
    return text if len(text) <= most else text[:most] + "…"


def _quote(place: Place, scan: "_Scan") -> Mistake | None:
    if scan.quote is None:
        return None
    line, column, sign = scan.quote
    there = Place(place.file, line, column)
    return Mistake(there, "quote", "", "a quote must be closed",
                   f"`{shown(scan.lines[line - 1][column - 1:])}` opens one that nothing closes",
                   f"write {sign} behind the value too, or take this one away")


def _no_space(place: Place, lines: list[str], problem: str) -> Mistake | None:
    """A key whose value stands right behind its colon: the parser meets it as a text and stumbles over what follows."""
    if "could not find expected ':'" not in problem and "mapping values" not in problem:
        return None
    for number in (place.line, place.line - 1):
        found = _NO_SPACE.match(lines[number - 1]) if 0 < number <= len(lines) else None
        if found is not None:
            return Mistake(Place(place.file, number, len(found[1]) + 1), "yaml", "", "a space must follow the colon of a key",
                           f"`{shown(lines[number - 1])}` has none", f"write `{found[2]}: {shown(found[3])}`")
    return None


def _indent(place: Place, lines: list[str], scan: "_Scan", problem: str) -> Mistake | None:
    """A line that stands under none of the blocks that are open above it."""
    line = lines[place.line - 1] if place.line <= len(lines) else ""
    own = len(line) - len(line.lstrip())
    first_colon = re.search(r":(?:\s|$)", line)
    at_start = place.column - 1 == own or (first_colon is not None and place.column - 1 == first_colon.start())
    if scan.in_brackets or not at_start or not any(one in problem for one in _INDENT_FAULTS):
        return None
    if own in scan.indents or not scan.indents:
        return None
    beside = sorted({max((one for one in scan.indents if one < own), default=0),
                     min((one for one in scan.indents if one > own), default=max(scan.indents))})
    spaces = " or ".join(map(str, beside))
    return Mistake(Place(place.file, place.line, own + 1), "indent", "",
                   "a line must be indented like the lines of its block",
                   f"`{shown(line)}` stands {own} spaces in, and no block above it does",
                   f"indent it by {spaces} spaces, like the lines that it belongs to")


class _Scan(Struct):
    """The lines before a fault as a reader sees them: the first quote left open, the open brackets, the open indents.

    A quote counts where a value or a key begins, so that neither an apostrophe nor an inch sign does. One that runs on
    over the next lines is left open if a line that looks like a key stands before its other end.
    """

    lines: list[str]
    fault: int
    quote: tuple[int, int, str] | None = None
    in_brackets: int = 0
    indents: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        below: int | None = None
        number = 0
        while number < min(self.fault, len(self.lines)) and self.quote is None:
            line = self.lines[number]
            number += 1
            own = len(line) - len(line.lstrip())
            if not line.strip() or line.lstrip().startswith("#") or (below is not None and own > below):
                continue
            below = own if _TEXT_BELOW.search(line) else None
            if number < self.fault and not self.in_brackets:
                self._open(line, own)
            number = self._line(number)

    def _open(self, line: str, own: int) -> None:
        if not (_KEY.match(line) or line.lstrip().startswith("- ")):
            return
        self.indents = [one for one in self.indents if one < own]
        dashes = re.match(r"\s*(?:- +)*", line)
        self.indents += sorted({own, len(dashes[0])} if dashes else {own})

    def _line(self, number: int) -> int:
        """Read one line, and those over which its last quote runs on; returns the number of the last line read."""
        line, at = self.lines[number - 1], 0
        begins = True
        while at < len(line):
            sign = line[at]
            if sign == "#" and (at == 0 or line[at - 1].isspace()):
                break
            if sign in "\"'" and begins:
                end = _end(line, at + 1, sign)
                if end is None:
                    last = self._runs_on(number, sign)
                    if last is None:
                        self.quote = (number, at + 1, sign)
                        return number
                    number, end = last
                    line = self.lines[number - 1]
                at, begins = end + 1, False
                continue
            if sign in "[{" and (begins or self.in_brackets):
                self.in_brackets += 1
                begins = True
            elif sign in "]}" and self.in_brackets:
                self.in_brackets -= 1
                begins = False
            elif (sign == "," and self.in_brackets) or (
                not line[at + 1: at + 2].strip() and (sign == ":" or (sign == "-" and begins))
            ):
                begins = True
            elif not sign.isspace():
                begins = False
            at += 1
        return number

    def _runs_on(self, number: int, sign: str) -> tuple[int, int] | None:
        """Line and index at which a quote ends that a line leaves open; None where it seems to be none of its own."""
        for later in range(number + 1, len(self.lines) + 1):
            line = self.lines[later - 1]
            if _KEY.match(line) or line.lstrip().startswith("- "):
                return None
            end = _end(line, 0, sign)
            if end is not None:
                behind = line[end + 1:].strip()
                return (later, end) if not behind or behind[0] in ",]}:#" else None
        return None


def _end(line: str, start: int, sign: str) -> int | None:
    """The index of the quote that closes one; None where the line ends before."""
    at = start
    while at < len(line):
        if sign == '"' and line[at] == "\\":
            at += 2
        elif line[at] == sign:
            if sign == '"' or line[at + 1: at + 2] != "'":
                return at
            at += 2
        else:
            at += 1
    return None
