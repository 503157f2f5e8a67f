"""Printing with MkDocs from the command line: staged beside the old site, swapped in when whole."""

import errno
import logging
import os
import shutil
import socket
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # before the theme is imported: its banner is not for our readers

from mkdocs.commands import build as mkdocs_build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, MkDocsException
from mkdocs.livereload import LiveReloadServer
from msgspec import Struct, field

from generator.errors import PrintError, unwritable
from generator.memory import collector_held_back
from generator.model.finding import Mistake, Review
from generator.plugin import PhilosophyPlugin


class Published(Struct, frozen=True):
    """What a build gave: mistakes, or a folder with its pages and the review."""

    mistakes: tuple[Mistake, ...] = ()
    folder: Path = Path()
    pages: int = 0
    review: Review = field(default_factory=Review)


@collector_held_back()  # MkDocs leaves next to nothing to collect, and looking for it took a twentieth of the time
def site(config_file: Path, into: Path | None, strict: bool, say: Callable[[str], None]) -> Published:
    """Build the site of one MkDocs file.

    Raises:
        PrintError: MkDocs could not write the site for a reason that is not in the definitions.
    """
    logging.getLogger("mkdocs").setLevel(logging.WARNING)
    _warnings_to_stderr()
    try:
        config = load_config(str(config_file), strict=strict or None)
    except MkDocsException as error:
        raise PrintError(f"{config_file} cannot be used as it stands: {error}") from error
    target = Path(into or config.site_dir).resolve()
    plugin = config.plugins.get("philosophy")
    if not isinstance(plugin, PhilosophyPlugin):
        raise PrintError(f"{config_file} does not name the plugin `philosophy`: "
                         "write `plugins: [search, offline, philosophy]` in it")
    plugin.tells_mistakes = False  # whoever asked for the site tells them
    with _beside(target) as beside:
        staged = Path(beside, "site")
        config.site_dir = str(staged)
        say("reading and checking the definitions")
        config.plugins.on_startup(command="build", dirty=False)
        try:
            mkdocs_build.build(config)
        except Abort as stopped:
            if plugin.philosophy.mistakes:
                return Published(plugin.philosophy.mistakes, target)
            raise PrintError(_why(stopped, bool(config.strict))) from stopped
        except MkDocsException as error:
            if plugin.philosophy.mistakes:
                return Published(plugin.philosophy.mistakes, target)
            raise PrintError(str(error)) from error
        finally:
            config.plugins.on_shutdown()
        say("swapping the new site in")
        _swap(staged, target, Path(beside, "old"))
    philosophy = plugin.philosophy
    return Published((), target, len(philosophy.site.pages) if philosophy.site else 0, philosophy.review)


def serve(config_file: Path, host: str, port: int, say: Callable[[str], None]) -> tuple[Mistake, ...]:
    """Serve with live reload until somebody interrupts; the mistakes, where the definitions have some at the start.

    A fault that comes later is said, and the last good site stays up. That is why the builder handed to MkDocs' server
    never raises: a page asked for would otherwise wait until the next good build.

    Raises:
        PrintError: the address cannot be taken, or the first site could not be written.
    """
    _must_be_free(host, port)
    shown = f"http://{f'[{host}]' if ':' in host else host}:{port}/"
    say(f"building the site; it will stand at {shown}")
    with tempfile.TemporaryDirectory(prefix="philosophy-") as folder:
        into = Path(folder, "site")
        first = site(config_file, into, strict=False, say=_nothing)
        if first.mistakes:
            return first.mistakes

        def again() -> None:
            try:
                made = site(config_file, into, strict=False, say=_nothing)
            except PrintError as error:
                say(f"{error}\nthe last good site stays at {shown}")
                return
            for mistake in made.mistakes:
                say(str(mistake))
            say(f"{said_mistakes(len(made.mistakes))}; the last good site stays at {shown}" if made.mistakes
                else f"built anew: {made.pages} pages")

        server = LiveReloadServer(again, host, port, str(into))
        for path in _watched(config_file):
            server.watch(path)
        say(f"{first.pages} pages at {shown}; Ctrl-C ends it")
        try:
            server.serve()  # type: ignore[no-untyped-call]  # MkDocs leaves it untyped
        except KeyboardInterrupt:
            say("ended")
        except OSError as error:
            raise _untakable(host, port, error) from error
        finally:
            server.shutdown()
    return ()


def said_mistakes(number: int) -> str:
    """How many mistakes, in words."""
    return f"{number} mistake{'' if number == 1 else 's'}"


def _nothing(_: str) -> None:
    """Say nothing."""


def _watched(config_file: Path) -> tuple[str, ...]:
    """What the site is made from: the MkDocs file, the definitions, the engineers' own pages."""
    config = load_config(str(config_file))
    plugin = config.plugins["philosophy"]
    return (str(config_file), str(config_file.parent / plugin.config["definitions"]), config.docs_dir)


def _must_be_free(host: str, port: int) -> None:
    """Try the address before the site is built for it."""
    try:
        family, _, _, _, where = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, socket.SOCK_STREAM) as tried:
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            tried.bind(where)
    except OSError as error:
        raise _untakable(host, port, error) from error


def _untakable(host: str, port: int, error: OSError) -> PrintError:
    """Why an address cannot be served at, in the words of the command line."""
    if error.errno == errno.EADDRINUSE:
        return PrintError(f"port {port} of {host} is in use: end what serves there, or name another, "
                          f"as in --address {host}:{port + 1}")
    if error.errno == errno.EADDRNOTAVAIL or isinstance(error, socket.gaierror):
        return PrintError(f"{host} is no address of this machine: name one with --address, as in 127.0.0.1:8000")
    if error.errno in (errno.EACCES, errno.EPERM):
        return PrintError(f"this user may not serve at port {port}: name one from 1024 on, as in --address {host}:8000")
    return PrintError(f"nothing can be served at {host}:{port}: {error.strerror or error}")


def _why(stopped: Abort, strict: bool) -> str:
    """Why MkDocs stopped: warnings only where it was told to mind them, else what it stopped for."""
    cause = stopped.__cause__ or stopped.__context__
    if cause is None and strict:
        return "the site has warnings, and strict was asked for; they stand above"
    return f"MkDocs stopped: {cause or stopped}"


def _beside(target: Path) -> tempfile.TemporaryDirectory[str]:
    """A folder in which the new site is made, on the same disk as its place.

    Raises:
        PrintError: nothing can be written there, or what stands there is no site and would be lost.
    """
    if target.exists() and not target.is_dir():
        raise PrintError(f"{target} is a file; the site needs a folder")
    try:
        if target.exists() and any(target.iterdir()) and not (target / "index.html").exists():
            raise PrintError(f"{target} holds something other than a site, which the new site would replace; "
                             "name another folder, or empty this one")
        target.parent.mkdir(parents=True, exist_ok=True)
        return tempfile.TemporaryDirectory(prefix=f".{target.name}-", dir=target.parent)
    except OSError as error:
        raise unwritable(target, error) from error


def _swap(staged: Path, target: Path, aside: Path) -> None:
    """Two renames in one folder: between them the old site is still whole, beside."""
    if target.exists():
        target.rename(aside)
    try:
        staged.rename(target)
    except OSError:
        if aside.exists() and not target.exists():
            aside.rename(target)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _warnings_to_stderr() -> None:
    logger = logging.getLogger("mkdocs")
    if not logger.handlers:
        handler = logging.StreamHandler()
        handler.setFormatter(logging.Formatter("%(levelname)s: %(message)s"))
        logger.addHandler(handler)
