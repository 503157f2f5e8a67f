"""What every built page keeps: text stays text, one heading at the top, the document's state, an orderly menu."""

import json
import re
from pathlib import Path

from tests.site import building
from tests.site.conftest import SPOIL


def test_no_text_becomes_markup(hostile_site: Path) -> None:
    for path, page in building.site(hostile_site).items():
        assert [script for script in page.scripts if "alert(" in script] == [], path
        assert [data for data in page.data if "<" in data] == [], path
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


def test_the_menu_marks_the_page_at_hand(demo: building.Built) -> None:
    """Each page that stands in the menu is marked there once; its section is open, all others are one link."""
    assert demo.philosophy.site is not None
    for made in demo.philosophy.site.pages:
        whole = (demo.folder / made.path).read_text(encoding="utf-8")
        menu = whole.partition('class="md-nav md-nav--primary"')[2].partition('data-md-component="content"')[0]
        marked = re.findall(r'<a href="([^"]*)" class="md-nav__link md-nav__link--active">', menu)
        way = "../" * made.path.count("/")
        assert marked == ([way + made.path] if made.section or made.path == "index.html" else []), made.path
        opened = menu.count("md-nav__item--nested") - menu.count("md-nav__item--pruned")
        assert opened == len(made.section), made.path


def test_both_printers_print_the_same_articles(demo: building.Built, plain_site: Path) -> None:
    assert demo.philosophy.site is not None
    for made in demo.philosophy.site.pages:
        whole = (plain_site / made.path).read_text(encoding="utf-8")
        article = whole.partition('<main class="sheet">\n')[2].rpartition("\n</main>")[0]
        assert article and article in (demo.folder / made.path).read_text(encoding="utf-8"), made.path
