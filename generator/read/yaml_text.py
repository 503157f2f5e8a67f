"""YAML text to plain data in which every scalar is text and everything knows its place."""

import re
from collections.abc import Iterator

import yaml

from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import Place
from generator.model.scalar import Text
from generator.read.syntax import ELSE, MOST_DEPTH, shown, syntax

_MERGE = "<<"
_PLAIN_TAGS = {
    f"tag:yaml.org,2002:{name}"
    for name in ("str", "int", "float", "bool", "null", "timestamp", "merge", "value", "map", "seq")
}
_UNPRINTABLE = re.compile("[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def parse(file: str, text: str, mistakes: list[Mistake]) -> Mapping | Sequence | Text | None:
    """Parse one file; what cannot be read joins `mistakes`, and the rest of the file is still returned where it can.

    None where nothing could be read; an empty mapping for an empty file.
    """
    strange = _UNPRINTABLE.search(text)
    if strange is not None:
        line = text.count("\n", 0, strange.start()) + 1
        column = strange.start() - text.rfind("\n", 0, strange.start())
        must, stands = "only printable characters may stand here", f"character U+{ord(strange[0]):04X} does"
        mistakes.append(Mistake(Place(file, line, column), "unprintable", "", must, stands, "delete it"))
        return None
    try:
        root = yaml.compose(text, Loader=yaml.CSafeLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)
        mistakes.append(syntax(place, text, error))
        return None
    except (yaml.YAMLError, RecursionError):
        mistakes.append(Mistake(Place(file, 1, 1), "yaml", "", "the file must be YAML", "it cannot be read", ELSE))
        return None
    if root is None:
        return Mapping(place=Place(file, 1, 1))
    aliases = list(_aliases(file, text))
    if aliases:  # the parser's tree repeats a node at each of them, endlessly if need be: it is not walked
        mistakes.extend(aliases)
        return None
    return _Walk(file, mistakes).value(root, 0, "")


def load(file: str, text: str, mistakes: list[Mistake]) -> Mapping | None:
    """Parse one definition file, which must hold nouns."""
    root = parse(file, text, mistakes)
    if root is None or isinstance(root, Mapping):
        return root
    mistakes.append(Mistake(root.place, "top-level", "", "a file must open with nouns such as `tanks:`",
                            "it holds " + ("a list" if isinstance(root, Sequence) else "bare text"),
                            "write the noun first and indent the rest under it"))
    return None


def _aliases(file: str, text: str) -> Iterator[Mistake]:
    # Only the parser's events know where an alias stands: in its tree an alias is the node that it repeats.
    for event in yaml.parse(text, Loader=yaml.CSafeLoader) if "*" in text else ():
        if isinstance(event, yaml.AliasEvent) and event.start_mark is not None:
            place = Place(file, event.start_mark.line + 1, event.start_mark.column + 1)
            yield Mistake(place, "alias", "", "each value must be written out where it stands",
                          f"the alias `*{event.anchor}` stands", "use a pattern for repetition")


def _place(file: str, node: yaml.Node) -> Place:
    return Place(file, node.start_mark.line + 1, node.start_mark.column + 1)


class _Walk:
    def __init__(self, file: str, mistakes: list[Mistake]) -> None:
        self.file = file
        self.mistakes = mistakes

    def wrong(self, node: yaml.Node, rule: str, path: str, must: str, stands: str, cure: str) -> None:
        self.mistakes.append(Mistake(_place(self.file, node), rule, path, must, stands, cure))

    def value(self, node: yaml.Node, depth: int, path: str) -> Text | Mapping | Sequence:
        if depth > MOST_DEPTH:
            must = f"blocks must not stand more than {MOST_DEPTH} deep"
            cure = "look for an indent that grows by mistake"
            self.wrong(node, "depth", path.partition("[")[0], must, "they do", cure)
            return Text("", _place(self.file, node))
        if node.tag not in _PLAIN_TAGS:
            stands = f"`{shown(node.tag.replace('tag:yaml.org,2002:', '!!'))}` stands before it"
            cure = "take it out, or put the value in quotes"
            self.wrong(node, "yaml-tag", path, "a plain value must stand here", stands, cure)
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, depth, path)
        if isinstance(node, yaml.SequenceNode):
            made = Sequence(
                self.value(part, depth + 1, f"{path}[{number}]") for number, part in enumerate(node.value, 1)
            )
            made.place = _place(self.file, node)
            return made
        scalar: yaml.ScalarNode = node  # type: ignore[assignment]  # the third kind of node, after the two above
        return Text(self.stripped(scalar, path), _place(self.file, node))

    def stripped(self, node: yaml.ScalarNode, path: str) -> str:
        """A scalar without the spaces at its ends, which nobody sees and which make another tag of it."""
        text: str = node.value
        bare = text.strip()
        if text == bare or not bare or "\n" in text or node.style in ("|", ">"):
            return text
        end = "end" if text.rstrip() != text else "start"
        self.wrong(node, "space-at-end", path, "no space may stand at either end of a value",
                   f"a space stands at the {end} of `{shown(bare)}`", f"take the space away: `{shown(bare)}`")
        return bare

    def mapping(self, node: yaml.MappingNode, depth: int, path: str) -> Mapping:
        made = Mapping(place=_place(self.file, node))
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode) or key_node.value == _MERGE:
                cure = "a { or [ at the start of a key needs quotes; << is not part of this language"
                self.wrong(key_node, "key", path, "a key must be plain text", "it is something else", cure)
                continue
            bare = str(key_node.value).strip()
            key = Text(self.stripped(key_node, f"{path}.{bare}" if path else bare), _place(self.file, key_node))
            inner = f"{path}.{key}" if path else str(key)
            if key in made:
                stands = f"it also stands at line {made.keys_at[key].line}"
                must = "a key must stand once in its block"
                self.wrong(key_node, "key-twice", inner, must, stands, "keep one of the two")
                continue
            value = self.value(value_node, depth + 1, inner)
            made[key] = value
            made.keys_at[key] = key.place
            made.values_at[key] = value.place
        return made
