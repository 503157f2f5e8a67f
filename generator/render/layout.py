"""The DOT of a diagram and its placing by Graphviz: in this process, or by the `dot` program."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import graphviz

from generator.errors import DrawingError
from generator.model.diagram import CAUSES, EFFECTS, Diagram, Node
from generator.render import typeface

Direction = Literal["LR", "TB"]
"""Left to right for desk and paper, top to bottom for a phone."""
_MEASURED = "14.5"
"""Type size of the layout; the page letters at 13 px, so wider faces than ours still fit their boxes."""
_SECONDS = 60


def dot(diagram: Diagram, direction: Direction = "LR") -> str:
    """The diagram in the DOT language. Boxes are n0, n1 ... in order: a tag may hold signs that DOT reads itself."""
    graph = graphviz.Digraph(
        graph_attr={
            "rankdir": direction,
            "splines": "ortho",
            "nodesep": "0.22",
            "ranksep": "0.42",
            "bgcolor": "transparent",
            "outputorder": "edgesfirst",
        },
        node_attr={
            "shape": "box",
            "fontname": typeface.NAME,
            "fontsize": _MEASURED,
            "margin": "0.10,0.06",
            "height": "0.5",
        },
        edge_attr={"arrowsize": "0.6"},
    )
    names = {node.key: f"n{number}" for number, node in enumerate(diagram.nodes)}
    for node in diagram.nodes:
        graph.node(names[node.key], label(node.lines), width=_least_width(node), **_ordered(node, diagram))
    for rank, kinds in (("min", CAUSES), ("max", EFFECTS)):
        with graph.subgraph() as column:
            column.attr(rank=rank)
            for node in diagram.nodes:
                if node.kind in kinds:
                    column.node(names[node.key])
    for first, second in _in_order(diagram):
        graph.edge(names[first], names[second], style="invis")
    for edge in diagram.edges:
        graph.edge(names[edge.source], names[edge.target])
    return str(graph.source)


def _ordered(node: Node, diagram: Diagram) -> dict[str, str]:
    """What one box drives stands in the order in which it was written: pumps A, B, C, then the alarm."""
    ends = {one.key for one in diagram.nodes if one.kind in EFFECTS}
    driven = [edge.target in ends for edge in diagram.edges if edge.source == node.key]
    return {"ordering": "out"} if len(driven) > 1 and all(driven) else {}


def _in_order(diagram: Diagram) -> list[tuple[str, str]]:
    """Neighbours among the members of each vote, as written: unseen lines between them keep A, B, C in that order."""
    kinds = {node.key: node.kind for node in diagram.nodes}
    into: dict[str, list[str]] = {}
    for edge in diagram.edges:
        into.setdefault(edge.target, []).append(edge.source)
    pairs: dict[tuple[str, str], None] = {}
    for node in diagram.nodes:
        if node.kind == "gate" and node.lines[0].startswith("\u2265") and len(node.lines) > 1 and " of " in node.lines[1]:
            members = [into.get(one, [one])[0] if kinds[one] == "delay" else one for one in into.get(node.key, ())]
            causes = [one for one in members if kinds[one] in CAUSES]
            pairs.update(dict.fromkeys((one, other) for one, other in pairwise(causes) if (other, one) not in pairs))
    return list(pairs)


def _least_width(node: Node) -> str:
    """Columns of causes and effects are of one width; gates and delays are small. [inch]"""
    return "2.1" if node.kind in CAUSES + EFFECTS else "0.9"


def label(lines: tuple[str, ...]) -> str:
    """Lines of text as a DOT label that shows exactly them: no markup, no escapes, no entities of theirs are read.

    >>> label(("a & b", "<c>"))
    'a &amp; b\\\\n<c>'
    """
    safe = ("".join(letter for letter in line if letter.isprintable()).replace("&", "&amp;") for line in lines)
    text: str = graphviz.nohtml("\\n".join(graphviz.escape(line) for line in safe))
    return text


@lru_cache(maxsize=4096)
def placed(source: str) -> str:
    """The SVG that Graphviz makes of a DOT text. Kept by its content: font and version never change in one process.

    Raises:
        DrawingError: Graphviz is not there, or refuses the text.
    """
    draw = _in_process if _library() is not None else _by_program
    return draw(source)


@lru_cache(maxsize=1)
def _library() -> object | None:
    try:
        import pygraphviz
    except ImportError:
        return None
    return pygraphviz  # type: ignore[no-any-return]  # it comes without types


def _in_process(source: str) -> str:
    import pygraphviz

    with _font_configured(), _c_messages() as messages:
        try:
            graph = pygraphviz.AGraph(string=source)
            try:
                return str(graph.draw(format="svg", prog="dot").decode("utf-8"))
            finally:
                graph.close()
        except Exception as problem:  # the library raises errors of many kinds; its reason goes to the C stream
            reason = messages() or str(problem)
            raise DrawingError(f"Graphviz refused a diagram: {reason}") from problem


def _by_program(source: str) -> str:
    program = shutil.which("dot")
    if program is None:
        raise DrawingError("Graphviz is not there: neither the pygraphviz library nor a `dot` program was found")
    done = subprocess.run(
        [program, "-Tsvg"],
        input=source.encode(),
        capture_output=True,
        timeout=_SECONDS,
        check=False,
        env={**os.environ, "FONTCONFIG_FILE": typeface.configuration()},
    )
    if done.returncode:
        raise DrawingError(f"`dot` refused a diagram: {done.stderr.decode(errors='replace').strip()}")
    return done.stdout.decode("utf-8")


@contextmanager
def _font_configured() -> Iterator[None]:
    """Point the font library at our typeface, and put the process's own setting back for whatever it starts later."""
    before = os.environ.get("FONTCONFIG_FILE")
    os.environ["FONTCONFIG_FILE"] = typeface.configuration()
    try:
        yield
    finally:
        if before is None:
            del os.environ["FONTCONFIG_FILE"]
        else:
            os.environ["FONTCONFIG_FILE"] = before


@contextmanager
def _c_messages() -> Iterator[Callable[[], str]]:
    """Catch what C code writes to the error stream, since Graphviz gives its reasons nowhere else."""
    sys.stderr.flush()
    kept = os.dup(2)
    with tempfile.TemporaryFile() as caught:
        os.dup2(caught.fileno(), 2)

        def read() -> str:
            caught.seek(0)
            return caught.read().decode("utf-8", errors="replace").strip()

        try:
            yield read
        finally:
            os.dup2(kept, 2)
            os.close(kept)
