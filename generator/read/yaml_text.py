"""YAML text to plain data in which every scalar is text and everything knows its place."""

import yaml

from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import Place
from generator.model.scalar import Text

MOST_BYTES = 2_000_000
MOST_DEPTH = 40
_MERGE = "<<"


def load(file: str, text: str, mistakes: list[Mistake]) -> Mapping | None:
    """Parse one file; what cannot be read joins `mistakes`, and the rest of the file is still returned where it can."""
    try:
        root = yaml.compose(text, Loader=yaml.CSafeLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(file, mark.line + 1 if mark else 1, mark.column + 1 if mark else 1)
        mistakes.append(Mistake(place, "yaml", "", "the file must be YAML", error.problem or "it cannot be read",
                                "look at the line above too: an unclosed quote or bracket, a tab, or a wrong indent"))
        return None
    except (yaml.YAMLError, RecursionError) as error:
        mistakes.append(Mistake(Place(file, 1, 1), "yaml", "", "the file must be YAML", str(error).splitlines()[0]))
        return None
    if root is None:
        return Mapping(place=Place(file, 1, 1))
    if not isinstance(root, yaml.MappingNode):
        mistakes.append(Mistake(_place(file, root), "top-level", "", "a file must open with nouns such as `tanks:`",
                                "it holds something else"))
        return None
    return _Walk(file, mistakes).mapping(root, 0)


def _place(file: str, node: yaml.Node) -> Place:
    return Place(file, node.start_mark.line + 1, node.start_mark.column + 1)


class _Walk:
    def __init__(self, file: str, mistakes: list[Mistake]) -> None:
        self.file = file
        self.mistakes = mistakes
        self.seen: set[int] = set()

    def wrong(self, node: yaml.Node, rule: str, subject: str, must: str, stands: str, cure: str = "") -> None:
        self.mistakes.append(Mistake(_place(self.file, node), rule, subject, must, stands, cure))

    def value(self, node: yaml.Node, depth: int) -> Text | Mapping | Sequence:
        if id(node) in self.seen and not isinstance(node, yaml.ScalarNode):
            self.wrong(node, "alias", "", "each value must be written out where it stands", "an alias (*) repeats one",
                       "use a pattern for repetition")
            return Text("", _place(self.file, node))
        self.seen.add(id(node))
        if depth > MOST_DEPTH:
            self.wrong(node, "depth", "", f"blocks must not stand more than {MOST_DEPTH} deep", "they do")
            return Text("", _place(self.file, node))
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, depth)
        if isinstance(node, yaml.SequenceNode):
            made = Sequence(self.value(part, depth + 1) for part in node.value)
            made.place = _place(self.file, node)
            return made
        if not node.tag.startswith("tag:yaml.org,2002:"):
            self.wrong(node, "yaml-tag", "", "plain values must stand here", f"`{node.tag}` stands before one")
        return Text(node.value, _place(self.file, node))

    def mapping(self, node: yaml.MappingNode, depth: int) -> Mapping:
        made = Mapping(place=_place(self.file, node))
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode) or key_node.value == _MERGE:
                self.wrong(key_node, "key", "", "a key must be plain text", "it is something else")
                continue
            key = Text(key_node.value, _place(self.file, key_node))
            if key in made:
                self.wrong(key_node, "key-twice", key, "a key must stand once in its block",
                           f"it also stands at line {made.keys_at[key].line}")
                continue
            value = self.value(value_node, depth + 1)
            made[key] = value
            made.keys_at[key] = key.place
            made.values_at[key] = value.place
        return made
