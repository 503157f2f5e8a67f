"""How long things take, in one run: `python -m tests.benchmark --tanks 100`.

Prints seconds and, since machines differ, ratios: reading alone, the review, the whole build, and stock MkDocs with its
theme printing pages of the same content. Only ratios of one run mean anything.
"""

import argparse
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmark import maker

_OURS = """\
site_name: Level-control philosophy
docs_dir: pages
site_dir: site
theme: {name: material}
plugins:
  - search
  - offline
  - philosophy: {definitions: plant}
"""
_STOCK = """\
site_name: The same pages
docs_dir: docs
site_dir: stock
use_directory_urls: false
theme: {name: material, font: false}
plugins: [search]
validation: {links: {not_found: ignore, unrecognized_links: ignore, anchors: ignore}, nav: {omitted_files: ignore}}
"""


def main() -> None:
    """Make a plant and time each stage."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--tanks", type=int, default=50)
    options.add_argument("--plant", type=Path, help="measure these definitions instead of a made-up plant")
    options.add_argument("--no-stock", action="store_true", help="leave the stock build out")
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        source = work / "plant"
        if chosen.plant:
            source.symlink_to(chosen.plant.resolve(), target_is_directory=True)
        else:
            maker.write(source, chosen.tanks)
        (work / "pages").mkdir()
        (work / "mkdocs.yml").write_text(_OURS)
        read = "from pathlib import Path; from generator import read; assert read.plant(Path('plant'))[0]"
        review = ("from pathlib import Path; from generator import build; "
                  "made = build.reviewed(Path('plant')); assert made.plant, made.mistakes[:3]")
        rows = [
            ("start Python and import", _timed(work, [sys.executable, "-c", "import generator.build"])),
            ("read", _timed(work, [sys.executable, "-c", read])),
            ("review", _timed(work, [sys.executable, "-c", review])),
            ("whole build", _timed(work, [sys.executable, "-m", "generator", "build"], good=(0, 1))),
        ]
        pages = sum(1 for _ in (work / "site").rglob("*.html"))
        if not chosen.no_stock:
            _stock(work)
            stock = [sys.executable, "-m", "mkdocs", "-q", "build", "-f", "stock.yml"]
            rows.append(("stock MkDocs, same pages", _timed(work, stock)))
        whole = rows[3][1]
        print(f"{pages} pages")
        for label, seconds in rows:
            print(f"{label:28} {seconds:8.2f} s   {seconds / whole:6.3f} of the whole build")


def _timed(folder: Path, command: list[str], good: tuple[int, ...] = (0,)) -> float:
    began = time.perf_counter()
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode not in good:
        sys.exit(f"{' '.join(command)}\n{done.stdout}{done.stderr}")
    return time.perf_counter() - began


def _stock(work: Path) -> None:
    """The same article text as pages that stock MkDocs prints: our HTML handed to it as Markdown files."""
    article = re.compile(r"<article[^>]*>(.*)</article>", re.DOTALL)
    for page in (work / "site").rglob("*.html"):
        found = article.search(page.read_text(encoding="utf-8"))
        if found:
            target = work / "docs" / page.relative_to(work / "site").with_suffix(".md")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(f"<div>\n{found[1]}\n</div>\n", encoding="utf-8")
    (work / "stock.yml").write_text(_STOCK)


if __name__ == "__main__":
    main()
