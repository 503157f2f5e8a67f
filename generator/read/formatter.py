"""Keys in the language's order, so that two engineers' changes differ only where they mean to. Comments travel with their key."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from generator.errors import GeneratorError
from generator.model.definition import Mapping, Sequence
from generator.model.plant import Definitions
from generator.read import files, forms
from generator.read.forms import Form
from generator.read.yaml_text import load

_MOST_PASSES = 40
Move = tuple[yaml.MappingNode, list[int]]


def formatted(source: Path, write: bool) -> list[Path]:
    """Put the keys of every file of a plant in order. Tags and lists keep the order in which they were written.

    Returns the files that were changed, or would be where `write` is false. A file that cannot be read is left alone.
    """
    changed = []
    for path in files.named(source).values():
        try:
            text = path.read_bytes().decode("utf-8")
        except (OSError, UnicodeDecodeError):
            continue
        made = in_order(text)
        if made != text:
            changed.append(path)
            if write:
                path.write_text(made, encoding="utf-8", newline="\n")
    return changed


def in_order(text: str) -> str:
    """One file's text with its keys in order; the same text where it is not YAML.

    Raises:
        GeneratorError: the new text would not mean the same; the formatter itself is then wrong.

    >>> print(in_order("tanks:\\n  T-1:\\n    service: raw water  # clean\\n    area: 10\\n"), end="")
    tanks:
      T-1:
        area: 10
        service: raw water  # clean
    """
    before = load("", text, [])
    if before is None:
        return text
    made = "".join(f"{line.rstrip()}\n" for line in text.splitlines())
    for _ in range(_MOST_PASSES):
        moves = list(_moves(made))
        if not moves:
            break
        made = _moved(made, _innermost(moves))
    if _plain(load("", made, [])) != _plain(before):
        raise GeneratorError("putting keys in order would have changed what the file says")
    return made


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    if isinstance(value, Sequence):
        return [_plain(part) for part in value]
    return str(value)


def _moves(text: str) -> Iterator[Move]:
    root = yaml.compose(text, Loader=yaml.CSafeLoader)
    if isinstance(root, yaml.MappingNode):
        yield from _of_block(root, forms.keys(Definitions))


def _of_block(node: yaml.MappingNode, known: dict[str, Form]) -> Iterator[Move]:
    order = {key: number for number, key in enumerate(known)}
    keys = [key.value for key, _ in node.value]
    wanted = sorted(range(len(keys)), key=lambda index: (order.get(keys[index], len(order)), index))
    if wanted != list(range(len(keys))) and _can_move(node):
        yield node, wanted
    for key, value in node.value:
        if key.value in known:
            yield from _below(value, known[key.value])


def _below(node: yaml.Node, at: Form) -> Iterator[Move]:
    if at.models and isinstance(node, yaml.MappingNode):
        words = {key.value: value.value for key, value in node.value if isinstance(value, yaml.ScalarNode)}
        openers = [words.get("kind"), *(key.value for key, _ in node.value)]
        model = at.models[0] if len(at.models) == 1 else next(
            (found for word in openers if (found := forms.told_apart(at.models, word)) is not None), None)
        if model is not None:
            yield from _of_block(node, forms.keys(model))
    elif isinstance(node, yaml.SequenceNode):
        for part in node.value:
            for inner in at.inner()[:1]:
                yield from _below(part, inner)
    elif isinstance(node, yaml.MappingNode) and len(at.inner()) == 2:
        for _, value in node.value:
            yield from _below(value, at.inner()[1])


def _can_move(node: yaml.MappingNode) -> bool:
    """Blocks move by their lines; braces only where they stand on one line."""
    return not node.flow_style or node.start_mark.line == node.end_mark.line


def _innermost(moves: list[Move]) -> list[Move]:
    """Moves that hold no other move, last in the text first."""
    spans = [(node.start_mark.index, node.end_mark.index) for node, _ in moves]
    free = [move for move, (start, end) in zip(moves, spans, strict=True)
            if not any((start, end) != other and start <= other[0] and other[1] <= end for other in spans)]
    return sorted(free, key=lambda move: -move[0].start_mark.index)


def _moved(text: str, moves: list[Move]) -> str:
    for node, wanted in moves:
        text = _flow(text, node, wanted) if node.flow_style else _block(text, node, wanted)
    return text


def _flow(text: str, node: yaml.MappingNode, wanted: list[int]) -> str:
    pieces = [text[key.start_mark.index:_end(text, value)] for key, value in node.value]
    first, last = node.value[0][0].start_mark.index, _end(text, node.value[-1][1])
    return text[:first] + ", ".join(pieces[index] for index in wanted) + text[last:]


def _end(text: str, node: yaml.Node) -> int:
    end: int = node.end_mark.index
    while text[end - 1] in " \n":
        end -= 1
    return end


def _block(text: str, node: yaml.MappingNode, wanted: list[int]) -> str:
    lines = text.splitlines(keepends=True)
    column = node.value[0][0].start_mark.column
    first = node.value[0][0].start_mark.line
    # What stands over the first key of a file is the file's own heading; over that of a list item, another's.
    keeps_first = column == 0 or lines[first][:column].strip() != ""
    starts = [key.start_mark.line if keeps_first and key.start_mark.line == first
              else _with_comments(lines, key.start_mark.line, column) for key, _ in node.value]
    end = _last_line(lines, node)
    prefix = lines[starts[0]][:column]
    pieces = []
    for start, stop in zip(starts, [*starts[1:], end], strict=True):
        piece = lines[start:stop]
        pieces.append([piece[0][column:] if start == starts[0] else piece[0], *piece[1:]])
    made: list[str] = []
    for place, index in enumerate(wanted):
        piece = pieces[index]
        head = piece[0].lstrip(" ") if index == 0 or place == 0 else piece[0]
        if place == 0:
            made.append(prefix + head)
        else:
            made.append(" " * column + piece[0].lstrip(" ") if index == 0 else head)
        made += piece[1:]
    return "".join(lines[:starts[0]] + made + lines[end:])


def _with_comments(lines: list[str], line: int, column: int) -> int:
    """The first of the comment lines that stand right above a key, at its own indent."""
    while line and lines[line - 1].startswith(" " * column + "#"):
        line -= 1
    return line


def _last_line(lines: list[str], node: yaml.MappingNode) -> int:
    """One past the last line that belongs to a block: blank lines and comments after it stay where they are."""
    end: int = min(node.end_mark.line, len(lines))  # a block ends where the next token begins, on a later line
    column = node.value[0][0].start_mark.column
    last_key = node.value[-1][0].start_mark.line
    while end - 1 > last_key and (
        not lines[end - 1].strip() or (
            lines[end - 1].lstrip().startswith("#") and len(lines[end - 1]) - len(lines[end - 1].lstrip()) < column)
    ):
        end -= 1
    return end
