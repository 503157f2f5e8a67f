"""What every built page keeps: text stays text, one heading at the top, the document's state, an orderly menu."""

import json
import re
from pathlib import Path

import pytest

from tests.site import building
from tests.site.conftest import SPOIL

pytestmark = pytest.mark.xdist_group("site")


def test_no_text_becomes_markup(hostile_site: Path) -> None:
    for path, page in building.site(hostile_site).items():
        assert [script for script in page.scripts if "alert(" in script] == [], path
        assert page.handlers == [], path
        assert [link for link in page.links if link[2].startswith("javascript:") or link[2] == "x"] == [], path


def test_hostile_text_is_shown_as_written(hostile_site: Path) -> None:
    pages = building.site(hostile_site)
    for path in ("index.html", "notes/nasty.html", "registers/alarms.html", "tanks/t-210.html"):
        assert "<script>alert('x')</script>" in "".join(pages[path].words), path
        assert "49" not in re.findall(r"\{\{ (\S+) \}\}", "".join(pages[path].words))


def test_search_holds_no_live_markup(hostile_site: Path) -> None:
    """The search shows titles and texts as markup."""
    entries = json.loads((hostile_site / "search/search_index.json").read_text(encoding="utf-8"))["docs"]
    assert any("&lt;script&gt;" in entry["title"] for entry in entries)
    for entry in entries:
        for text in (entry["title"], entry["text"], *entry.get("tags", ())):
            assert not re.search(r"<(?!/?(p|ul|ol|li|code|pre|sub|sup)>)", text), entry["location"]


def test_notes_are_filled_and_made_harmless(hostile_site: Path) -> None:
    note = (hostile_site / "notes/nasty.html").read_text(encoding="utf-8")
    assert re.search(r"The trip acts at <a class=\"num door\"|The trip acts at <span class=\"num\"", note)
    assert "<code>{LSHH-210 height}</code>" in note
    assert "&lt;b&gt;bold&lt;/b&gt;" in note
    assert 'href="https://example.org/"' in note
    assert SPOIL.split("<img")[0] not in note


def test_every_page_has_one_title_and_says_which_document_it_is(demo: building.Built) -> None:
    for path, page in building.site(demo.folder).items():
        assert page.headings["h1"] == 1, path
        words = " ".join("".join(page.words).split())
        assert "Not live plant data" in words, path
        assert re.search(r"Fingerprint [0-9a-f]{4} [0-9a-f]{4}", words), path


def test_every_fold_and_field_can_be_named(demo: building.Built) -> None:
    """WCAG 2.2, 4.1.2: each field of our own has a label or a name."""
    for path in building.one_of_each_kind(building.site(demo.folder)):
        article = (demo.folder / path).read_text(encoding="utf-8").partition('id="sheet"')[2]
        for field in re.findall(r"<(?:input|select)\b[^>]*>", article):
            name = re.search(r'\bid="([^"]+)"', field)
            labelled = "aria-label" in field or (name and f'for="{name[1]}"' in article) or re.search(
                r"<label[^>]*>\s*" + re.escape(field), article)
            assert labelled, f"{path}: {field}"


def test_home_answers_within_its_doors(demo: building.Built) -> None:
    """Three doors, each area, what is open: all on the first page."""
    home = building.walk(demo.folder / "index.html")
    words = " ".join("".join(home.words).split())
    for said in ("An alarm is up", "I am going to work on it", "I am checking it", "What is open", "checks passed"):
        assert said in words
    assert {"open", "areas", "document", "ask"} <= set(home.ids)


def test_menu_holds_its_sections(demo: building.Built) -> None:
    text = (demo.folder / "index.html").read_text(encoding="utf-8")
    menu = [" ".join(name.split()) for name in re.findall(r'md-ellipsis">\s*(.*?)\s*</span>', text, re.DOTALL)]
    order = ["Home", "Cause and effect", "Registers", "Review", "Calculations", "How to read", "Definitions", "Notes"]
    assert [name for name in menu if name in order] == order
