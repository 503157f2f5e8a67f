"""What the theme is told: colours, features, the strip on every page and the foot of every sheet of paper."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from markupsafe import Markup

from generator.model.page import Strip
from generator.render import assets
from generator.render.environment import environment

FOLDER = Path(__file__).parent / "theme"
SHIM = "assets/iframe-worker.js"
STYLE = "assets/theme.css"

SETTINGS: dict[str, Any] = {
    "language": "en",
    "font": False,
    "features": ["navigation.indexes", "navigation.prune", "search.suggest", "search.highlight"],
    "palette": [
        {"media": f"(prefers-color-scheme: {media})", "scheme": scheme, "primary": "custom", "accent": "custom",
         "toggle": {"icon": icon, "name": name}}
        for media, scheme, icon, name in (
            ("light", "default", "material/weather-sunny", "Change to night colours"),
            ("dark", "slate", "material/weather-night", "Change to day colours"),
        )
    ],
}


class MadeOnce:
    """Parts of the theme's page that are the same on every page of one folder, made for the first of them."""

    def __init__(self) -> None:
        self._made: dict[tuple[str, str], str] = {}

    def __call__(self, name: str, base: str, make: Callable[[], str]) -> str:
        """A part by its name; `base` is the way from the page to the root of the site."""
        if (name, base) not in self._made:
            self._made[name, base] = make()
        return self._made[name, base]


def is_unused(name: str) -> bool:
    """Whether a file of the theme serves a language or a tool that our pages never use."""
    return name.startswith("assets/javascripts/lunr/") or (name.startswith("assets/") and name.endswith(".map"))


def sheet(strip: Strip) -> dict[str, Markup]:
    """Markup that stands on every page: sprite, strip and the style of the paper's foot."""
    return {
        "sprite": Markup(assets.sprite()),  # noqa: S704  # our own file
        "strip": Markup(environment().get_template("strip.html.j2").render(strip=strip)),  # noqa: S704  # escapes itself
        "foot": Markup(foot(strip)),  # noqa: S704  # escaped for a style sheet
    }


def foot(strip: Strip) -> str:
    """Number, revision, status and day at the foot of every sheet; page of pages at its right end."""
    left = css_text(f"{strip.number}  Rev {strip.revision}  {strip.status}")
    middle = css_text(f"Data of {strip.as_of}  {strip.fingerprint}  Not live plant data")
    font = "font: 7pt system-ui, sans-serif; color: #000;"
    return (
        "@media print { @page { size: A4; margin: 14mm 12mm 16mm; "
        f"@bottom-left {{ content: {left}; {font} }} @bottom-center {{ content: {middle}; {font} }} "
        f'@bottom-right {{ content: counter(page) " of " counter(pages); {font} }} }} }}'
    )


def css_text(text: str) -> str:
    r"""A text as a string of a style sheet that cannot end it, nor the element that holds it.

    >>> css_text('say "</style>"')
    '"say \\22 \\3c /style\\3e \\22 "'
    """
    safe = (letter if letter.isalnum() or letter in " .,-/()" else f"\\{ord(letter):x} " for letter in text)
    return '"' + "".join(safe) + '"'
