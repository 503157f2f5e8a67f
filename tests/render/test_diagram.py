"""Drawings: text comes out as it went in, the same every time, without paint, with links of our own making only."""

import os
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.errors import DrawingError
from generator.model.diagram import Diagram, Edge, Node
from generator.render import layout, typeface
from generator.render.diagram import drawn, read
from generator.render.layout import Direction, dot, placed
from generator.render.picture import picture

NASTY = (
    "A & B", "a &amp; b", "&#60;", "<b>bold</b>", "<", "1 < 2 > 0", 'say "no"', "back\\slash", "ends in \\",
    "\\N \\G \\n",
    "{a|b}", "LSHH:210:n", "ü ≥ µ 中 é", "]]>", "<!-- x -->", "<script>alert(1)</script>", "%s {0}", "a//b", "#c",
    "subgraph",
)


def diagram(*words: str) -> Diagram:
    nodes = tuple(Node(f"tag {number}", (word, "second line"), "cause", f"switches/{number}.html", word)
                  for number, word in enumerate(words))
    last = Node("end", ("XV-1 SHUT",), "effect", "valves/xv-1.html")
    return Diagram("logic-x", 'title "quoted" <i>', (*nodes, last), tuple(Edge(node.key, "end") for node in nodes))


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A place where the library is not installed."""
    layout.placed.cache_clear()
    monkeypatch.setattr(layout, "_library", lambda: None)
    yield
    layout.placed.cache_clear()


@pytest.mark.parametrize("word", NASTY)
def test_text_comes_out_as_it_went_in(word: str) -> None:
    svg = ElementTree.fromstring(drawn(diagram(word)))
    texts = [text.text for text in svg.iter("{http://www.w3.org/2000/svg}text")]
    assert texts[:2] == [word, "second line"]


def test_signs_that_cannot_be_printed_are_left_out() -> None:
    assert ElementTree.fromstring(drawn(diagram("a\x00b\x07c"))) is not None
    assert ">abc<" in drawn(diagram("a\x00b\x07c"))


def test_the_same_diagram_is_drawn_the_same() -> None:
    first = drawn(diagram(*NASTY))
    layout.placed.cache_clear()
    read.cache_clear()
    assert drawn(diagram(*NASTY)) == first


def test_links_lead_from_the_page_to_the_site() -> None:
    svg = drawn(diagram("A", "B"), "../")
    assert re.findall(r'href="([^"]*)"', svg) == ["../switches/0.html", "../switches/1.html", "../valves/xv-1.html"]


def test_nothing_is_painted_and_nothing_can_run() -> None:
    svg = drawn(diagram(*NASTY))
    tree = ElementTree.fromstring(svg)
    names = {element.tag.split("}")[1] for element in tree.iter()}
    assert names <= {"svg", "title", "g", "a", "rect", "text", "path", "polygon"}
    attributes = {name for element in tree.iter() for name in element.attrib}
    assert attributes <= {
        "class", "id", "role", "aria-labelledby", "viewBox", "width", "height", "href", "d", "points", "x", "y",
    }
    assert "javascript:" not in svg


def test_ids_are_unique_on_a_page_with_both_layouts() -> None:
    ids = re.findall(r' id="([^"]*)"', drawn(diagram("A", "B")) + drawn(diagram("A", "B"), direction="TB"))
    assert len(ids) == len(set(ids)) > 0


def test_it_reads_left_to_right_and_top_to_bottom() -> None:
    made = diagram("A", "B")
    across, down = (read(layout.placed(layout.dot(made, way))) for way in ("LR", "TB"))
    assert across.boxes[2][0] > across.boxes[0][0] + across.boxes[0][2]
    assert down.boxes[2][1] > down.boxes[0][1] + down.boxes[0][3]


MEASURE = """
import sys
from generator.model.diagram import Diagram, Node
from generator.render import layout, typeface
if sys.argv[1:]:
    typeface.configuration = lambda: sys.argv[1]
print(layout.placed(layout.dot(Diagram("d", "t", (Node("a", ("LSHH-210 opens, WWW iii",), "cause"),), ()))))
"""


def measured(environment: dict[str, str], *configuration: str) -> str:
    """The drawing made by a fresh process in its own surroundings."""
    done = subprocess.run([sys.executable, "-c", MEASURE, *configuration], capture_output=True, text=True, check=True,
                          env={"PATH": os.environ["PATH"], "PYTHONPATH": str(Path(__file__).parents[2]), **environment})
    return done.stdout


def test_the_layout_is_the_same_whatever_fonts_the_machine_has(tmp_path: Path) -> None:
    here = measured({"HOME": "/root", "LANG": "C"})
    assert measured({"HOME": str(tmp_path), "LANG": "de_DE.UTF-8", "TZ": "Asia/Tokyo", "PYTHONHASHSEED": "7",
                     "FONTCONFIG_FILE": "/nowhere.conf"}) == here
    # the control: with no face at all the same text comes out with another width, so the test above can fail
    bare = tmp_path / "fonts.conf"
    bare.write_text(f"<fontconfig><dir>{tmp_path}</dir><cachedir>{tmp_path}</cachedir></fontconfig>")
    assert measured({"HOME": "/root", "LANG": "C"}, str(bare)) != here


def test_the_process_keeps_its_own_font_setting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FONTCONFIG_FILE", "/own.conf")
    layout.placed.cache_clear()
    drawn(diagram("A"))
    assert os.environ["FONTCONFIG_FILE"] == "/own.conf"
    assert f"<dir>{typeface.FOLDER.resolve()}</dir>" in Path(typeface.configuration()).read_text(encoding="utf-8")


def test_without_graphviz_there_is_a_reason_instead(elsewhere: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(DrawingError, match="neither the pygraphviz library nor a `dot` program"):
        drawn(diagram("A"))
    assert "neither" in picture(diagram("A"), "").problem


@pytest.mark.skipif(shutil.which("dot") is None, reason="no dot program on this machine")
def test_the_program_draws_where_the_library_is_not(elsewhere: None) -> None:
    svg = ElementTree.fromstring(drawn(diagram("A & <b>")))
    assert next(svg.iter("{http://www.w3.org/2000/svg}text")).text == "A & <b>"


def test_what_graphviz_refuses_is_told_with_its_reason() -> None:
    with pytest.raises(DrawingError, match="refused"):
        layout.placed("digraph {")


@pytest.mark.parametrize("direction", ["LR", "TB"])
@pytest.mark.parametrize("with_delays", [False, True])
def test_members_of_a_vote_stand_in_the_order_written(direction: Direction, with_delays: bool) -> None:
    """Two gates rest on the same three points, as where a reset asks for them too; Graphviz alone sets B, C, A then."""
    members = ("LSHH-3A", "LSHH-3B", "LSHH-3C")
    nodes = [Node("HS-3", ("HS-3",), "manual"), *(Node(tag, (tag, "2.65 m rising"), "cause") for tag in members),
             *(Node(f"d-{tag}", ("2 s", "on-delay"), "delay") for tag in members if with_delays),
             Node("v1", ("\u22652", "2 of 3"), "gate"), Node("v2", ("\u22652", "2 of 3"), "gate"),
             Node("any", ("\u22651", "any of"), "gate"), Node("not", ("not",), "gate"), Node("HR-3", ("HR-3",), "manual"),
             Node("both", ("&", "resets when both"), "gate"), Node("SR", ("S R",), "latch"), Node("XV-3", ("XV-3",), "effect")]
    edges = [Edge(tag, f"d-{tag}") for tag in members if with_delays]
    edges += [Edge(f"d-{tag}" if with_delays else tag, gate) for gate in ("v1", "v2") for tag in members]
    edges += [Edge("HS-3", "any"), Edge("v1", "any"), Edge("any", "SR"), Edge("v2", "not"), Edge("not", "both"),
              Edge("HR-3", "both"), Edge("both", "SR"), Edge("SR", "XV-3")]
    where = read(placed(dot(Diagram("i-3", "I-3", tuple(nodes), tuple(edges)), direction)))
    starts = [where.boxes[number][1 if direction == "LR" else 0] for number in (1, 2, 3)]
    assert starts == sorted(starts)
    assert len(where.lines) == len(edges)  # the lines that keep the order are not drawn
