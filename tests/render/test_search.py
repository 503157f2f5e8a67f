"""What the search is given."""

from generator.model.page import Entry, Page
from generator.render import search

ARTICLE = """<p class="crumb">Area</p><h1>LSHH-1 High</h1><svg><text>noise</text></svg>
<table><tr><td>c1</td><td>c2</td></tr></table><details class="work"><p>folded</p></details>
<h2 id="two">What it <b>does</b></h2><p>A &amp; B &lt;x&gt;</p><h2 id="cautions">Cautions</h2><p>same everywhere</p>"""


def test_words_do_not_run_together_and_drawings_are_left_out() -> None:
    page = Page("switches/lshh-1.html", "LSHH-1 High", "switch", None, words=("230-LS-4",))
    first, second = search.entries(page, ARTICLE)
    assert "c1 c2" in str(first["text"])
    assert "noise" not in str(first["text"]) and "folded" not in str(first["text"])
    assert "LSHH1" in str(first["text"]).split()
    assert first["tags"] == ["LSHH 1", "LSHH 1", "230-LS-4"]  # what is typed is parted at hyphens too
    assert second == {"location": "switches/lshh-1.html#two", "title": "What it does", "text": "A &amp; B &lt;x&gt;"}


def test_titles_are_escaped() -> None:
    page = Page("a.html", "<script>", "switch", None, entries=(Entry("a.html#b", "T-1 <b>", ("<i>",)),))
    first, further = search.entries(page, "<h1>x</h1>")
    assert first["title"] == "&lt;script&gt;"
    assert further["title"] == "T-1 &lt;b&gt;" and further["tags"] == ["T 1", "T 1", "&lt;i&gt;"]
