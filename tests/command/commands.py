"""The command, as its users start it and, where no process of its own is what is tested, in this one."""

import logging
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.command import cli

Said = subprocess.CompletedProcess[str]


def started(*arguments: str, folder: Path) -> Said:
    """The command as a process of its own."""
    command = [sys.executable, "-m", "generator", *arguments]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def run(*arguments: str, folder: Path) -> Said:
    """The command in this process, which spares its start. What a process would show as a traceback is raised here."""
    log = logging.getLogger("mkdocs")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setattr(log, "handlers", [])  # the command makes its own, for the stderr of its time
        patch.setattr(log, "level", log.level)
        made = CliRunner().invoke(cli, arguments, prog_name="philosophy", catch_exceptions=False)
    return subprocess.CompletedProcess(arguments, made.exit_code, made.stdout, made.stderr)
