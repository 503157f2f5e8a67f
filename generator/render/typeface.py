"""One open typeface for the layout of all diagrams, so that they come out the same on every machine.

The reader's own font paints the letters; only their widths are taken from here, with room to spare.
"""

import atexit
import hashlib
import html
import shutil
import tempfile
from functools import lru_cache
from pathlib import Path

import font_roboto

NAME = "Roboto"
FOLDER = Path(font_roboto.font_directory)


@lru_cache(maxsize=1)
def configuration() -> str:
    """Path of a font configuration that knows this typeface and nothing else.

    The folder in it is absolute: a relative one is skipped without a word by some builds of the font library, which
    then measure text with a face that nobody chose.
    """
    folder = Path(tempfile.mkdtemp(prefix="diagram-font-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    target = folder / "fonts.conf"
    target.write_text(
        f"<fontconfig><dir>{html.escape(str(FOLDER.resolve()))}</dir>"
        f"<cachedir>{html.escape(str(folder))}</cachedir></fontconfig>", encoding="utf-8",
    )
    return str(target)


@lru_cache(maxsize=1)
def fingerprint() -> str:
    """Hash of the font files, part of the key under which drawings are kept."""
    return hashlib.sha256((FOLDER / "Roboto-Regular.ttf").read_bytes()).hexdigest()
