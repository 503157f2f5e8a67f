"""Stylesheets, scripts and the sprite of marks that the site carries with it."""

from functools import lru_cache
from pathlib import Path

_FOLDER = Path(__file__).parent / "assets"
STYLES = tuple(f"assets/{path.name}" for path in sorted(_FOLDER.glob("*.css")))
SCRIPTS = tuple(f"assets/{path.name}" for path in sorted(_FOLDER.glob("*.js")))


def files() -> dict[str, bytes]:
    """Every asset by its path in the site."""
    return {f"assets/{path.name}": path.read_bytes() for path in sorted(_FOLDER.iterdir()) if path.suffix in (".css", ".js")}


@lru_cache(maxsize=1)
def sprite() -> str:
    """The marks as one hidden SVG, to be placed once in a page."""
    return (_FOLDER / "marks.svg").read_text(encoding="utf-8")
