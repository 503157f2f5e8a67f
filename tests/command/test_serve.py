"""`philosophy serve` as its users meet it: an address that answers, also while a definition is broken."""

import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path

import pytest

from generator import publish, starter
from tests.command.commands import Said, run

PATIENCE = 90.0
"""How long a slow machine may take to build the starter. [s]"""


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait(until: Callable[[], bool]) -> bool:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if until():
            return True
        time.sleep(0.2)
    return False


def _page(port: int) -> bytes:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/index.html", timeout=20) as answer:
        return bytes(answer.read().partition(b"<script>livereload")[0].partition(b"\nvar livereload")[0])


def _hears_interrupts() -> None:
    """A shell that runs the tests in its background lets its children ignore interrupts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def refused(folder: Path, address: str) -> Said:
    """What is said of something that cannot be served; it is a fault to serve it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(publish.LiveReloadServer, "serve", lambda _: pytest.fail("it is served"))
        return run("serve", "--address", address, folder=folder)


def test_a_broken_definition_costs_no_reader_a_page(tmp_path: Path) -> None:
    starter.write(tmp_path)
    port, broken = _free_port(), tmp_path / "content" / "plant" / "zz-broken.yml"
    log = tmp_path / "log"
    with log.open("w") as out:
        process = subprocess.Popen([sys.executable, "-m", "generator", "serve", "--address", f"127.0.0.1:{port}"],
                                   cwd=tmp_path, stdout=out, stderr=subprocess.STDOUT, preexec_fn=_hears_interrupts)
    try:
        assert _wait(lambda: f"http://127.0.0.1:{port}/" in log.read_text()), "the address is said at once"
        assert _wait(lambda: "Ctrl-C ends it" in log.read_text()), log.read_text()
        good = _page(port)
        broken.write_text("tanks: {T-1: {area: nowhere}}\n")
        assert _wait(lambda: "the last good site stays" in log.read_text()), log.read_text()
        assert "zz-broken.yml:1:" in log.read_text() and "Traceback" not in log.read_text()
        assert _page(port) == good
        taken = refused(tmp_path, f"127.0.0.1:{port}")
        assert (taken.returncode, f"port {port} of 127.0.0.1 is in use" in taken.stderr) == (2, True), taken.stderr
        broken.unlink()
        assert _wait(lambda: "built anew" in log.read_text()), log.read_text()
        assert b"last good" not in _page(port)
    finally:
        process.send_signal(signal.SIGINT)
        assert process.wait(PATIENCE) == 0
    assert log.read_text().rstrip().endswith("ended")


@pytest.mark.parametrize(("address", "said"), [
    ("nonsense", "an address is written host:port, as in 127.0.0.1:8000; nonsense stands"),
    ("127.0.0.1:99999", "an address is written host:port"),
    ("203.0.113.9:8000", "203.0.113.9 is no address of this machine"),  # RFC 5737: for documentation only
])
def test_an_address_that_cannot_be_taken_is_said_in_the_words_of_the_command(tmp_path: Path, address: str, said: str) -> None:
    starter.write(tmp_path)
    made = refused(tmp_path, address)
    assert made.returncode == 2
    assert said in " ".join(made.stderr.split()) and "Traceback" not in made.stderr


def test_a_plant_broken_from_the_start_is_not_served(tmp_path: Path) -> None:
    starter.write(tmp_path)
    (tmp_path / "content" / "plant" / "zz-broken.yml").write_text("tanks: {T-1: {area: nowhere}}\n")
    made = refused(tmp_path, f"127.0.0.1:{_free_port()}")
    assert made.returncode == 2
    assert "zz-broken.yml:1:" in made.stderr and made.stderr.rstrip().endswith("5 mistakes; nothing was built")
