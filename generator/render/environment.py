"""The template environment: everything escaped, a misspelt field raises, paths made relative to the page at hand."""

from functools import lru_cache

from jinja2 import BytecodeCache, Environment, FileSystemBytecodeCache, PackageLoader, StrictUndefined
from markupsafe import Markup

from generator.model.page import Amount, Link, Page, plain
from generator.render import equation, parts
from generator.render.picture import picture


def root_of(path: str) -> str:
    """From a page back to the site's root: "" for home.html, "../" for tanks/t-210.html.

    >>> root_of("tanks/t-210.html")
    '../'
    """
    return "../" * path.count("/")


def kept_templates() -> BytecodeCache | None:
    """Compiled templates from one run to the next, in the user's own part of the folder for temporary files.

    None where there is no folder that is safe to keep code in; each template is then compiled in each run.
    """
    try:
        return FileSystemBytecodeCache(pattern="philosophy-%s.cache")
    except (OSError, RuntimeError):
        return None


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The one environment, made once."""
    made = Environment(
        loader=PackageLoader("generator", "render/templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, extensions=["jinja2.ext.do"], auto_reload=False, bytecode_cache=kept_templates(),
    )
    made.tests["link"] = lambda part: isinstance(part, Link)
    made.tests["amount"] = lambda part: isinstance(part, Amount)
    made.filters["mathml"] = lambda text: Markup(equation.mathml(text))  # noqa: S704  # made by our own writer
    made.filters["symbol"] = lambda text: Markup(equation.symbol(text))  # noqa: S704  # made by our own writer
    made.filters["plain"] = plain
    made.filters["picture"] = picture
    made.filters["anchor"] = parts.anchor
    made.filters["number"] = parts.number
    made.filters["input_rows"] = parts.input_rows
    made.filters["running"] = parts.running
    made.filters["coded"] = parts.coded
    made.globals["record"] = record
    return made


@lru_cache(maxsize=16384)
def record(view: object, root: str, anchor: str) -> Markup:
    """A calculation record or absence; the same on every page that shows it, so written once."""
    made = environment().get_template("record_one.html.j2").render(v=view, root=root, id=anchor)
    return Markup(made)  # noqa: S704  # made by an escaping template


def fragment(page: Page) -> str:
    """The HTML of one page's article, its links relative to the page's own path."""
    template = environment().get_template(f"{page.template}.html.j2")
    return template.render(view=page.view, page=page, root=root_of(page.path))
