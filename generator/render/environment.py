"""The template environment: everything escaped, a misspelt field raises, paths made relative to the page at hand."""

from functools import lru_cache

from jinja2 import BytecodeCache, Environment, FileSystemBytecodeCache, PackageLoader, StrictUndefined
from markupsafe import Markup

from generator.model.page import Amount, Link, Page, plain
from generator.render import equation, parts
from generator.render.picture import picture
from generator.render.words import QuickWriter, escaped


def root_of(path: str) -> str:
    """From a page back to the site's root: "" for home.html, "../" for tanks/t-210.html.

    >>> root_of("tanks/t-210.html")
    '../'
    """
    return "../" * path.count("/")


def kept_templates(whose: str) -> BytecodeCache | None:
    """Compiled templates from one run to the next, in the user's own part of the folder for temporary files.

    None where there is no folder that is safe to keep code in; each template is then compiled in each run.
    """
    try:
        return FileSystemBytecodeCache(pattern=f"philosophy-{whose}-%s.cache")
    except (OSError, RuntimeError):
        return None


class Templates(Environment):
    """Jinja's environment with a quicker way to escape."""

    code_generator_class = QuickWriter
    escaped = staticmethod(escaped)


@lru_cache(maxsize=1)
def environment() -> Templates:
    """The one environment, made once."""
    made = Templates(
        loader=PackageLoader("generator", "render/templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, extensions=["jinja2.ext.do"], auto_reload=False,
        bytecode_cache=kept_templates("article"),
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
    return made


def fragment(page: Page) -> str:
    """The HTML of one page's article, its links relative to the page's own path."""
    template = environment().get_template(f"{page.template}.html.j2")
    return template.render(view=page.view, page=page, root=root_of(page.path))
