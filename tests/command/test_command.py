"""The command line as its users meet it: exit statuses, words, and a last good site that survives."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.command import cli
from tests.command.commands import run, started


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new") / "my-plant"
    made = started("new", str(folder), folder=folder.parent)
    assert made.returncode == 0, made.stderr
    assert (folder / "mkdocs.yml").exists()
    return folder


def test_a_new_plant_builds_without_an_error(starter: Path) -> None:
    made = started("build", folder=starter)
    assert (made.returncode, made.stderr) == (0, ""), made.stderr
    assert (starter / "site" / "index.html").exists()
    assert (starter / "site" / "data" / "philosophy.json").exists()


def test_a_build_says_what_it_wrote_and_a_missing_plugin_is_named(starter: Path, tmp_path: Path) -> None:
    made = run("build", "--into", str(tmp_path / "site"), folder=starter)
    assert f"{tmp_path / 'site'}: " in made.stdout and "passed" in made.stdout
    (tmp_path / "notes").mkdir()
    (tmp_path / "mkdocs.yml").write_text("site_name: X\ndocs_dir: notes\nsite_dir: out\n")
    lacking = run("build", "--config", "mkdocs.yml", folder=tmp_path)
    assert lacking.returncode == 2
    assert "does not name the plugin `philosophy`" in lacking.stderr and "Traceback" not in lacking.stderr


def test_new_does_not_write_over_anything(starter: Path) -> None:
    made = run("new", str(starter), folder=starter.parent)
    assert made.returncode == 2
    assert "not empty" in made.stderr


@pytest.mark.parametrize(("arguments", "said"), [
    (("new", "{here}/afile"), "is a file; name a folder"),
    (("new", "/proc/no-plant"), "/proc/no-plant cannot be written: "),
    (("build", "--into", "/proc/no-site"), "/proc/no-site cannot be written: "),
    (("build", "--into", "{here}/afile"), "is a file; the site needs a folder"),
    (("build", "--into", "{here}/papers"), "holds something other than a site"),
    (("issue", "--into", "/proc/no-issue"), "cannot be written: "),
])
def test_a_place_that_cannot_take_it_is_said_in_words(
    starter: Path, tmp_path: Path, arguments: tuple[str, ...], said: str,
) -> None:
    (tmp_path / "afile").write_text("of somebody else")
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "letter.txt").write_text("of somebody else")
    made = run(*(each.format(here=tmp_path) for each in arguments), folder=starter)
    assert made.returncode == 2
    assert said in " ".join(made.stderr.split()) and "Traceback" not in made.stderr
    assert {path.name: path.read_text() for path in tmp_path.rglob("*") if path.is_file()} == {
        "afile": "of somebody else", "letter.txt": "of somebody else"}


def test_check_tells_good_wrong_and_meaningless_apart(starter: Path, tmp_path: Path) -> None:
    assert run("check", folder=starter).returncode == 0
    plant = tmp_path / "content" / "plant"
    plant.mkdir(parents=True)
    for file in (starter / "content" / "plant").glob("*.yml"):
        (plant / file.name).write_text(file.read_text())
    tank = next(plant.glob("*tank*.yml"), None) or sorted(plant.glob("*.yml"))[-1]
    whole = tank.read_text()
    assert "at_the_point: opens" in whole
    tank.write_text(whole.replace("at_the_point: opens", "at_the_point: closes"))
    wrong = run("check", folder=tmp_path)
    assert wrong.returncode in (0, 1)
    assert "4.19 shelf-state-follows-from-the-contact" in wrong.stdout
    tank.write_text(whole + "\nswitchs: {}\n")
    meaningless = run("check", folder=tmp_path)
    assert meaningless.returncode == 2
    assert "did you mean `switches`?" in meaningless.stderr
    assert "Traceback" not in meaningless.stderr


@pytest.mark.parametrize(("given", "said"), [
    ("27.11.2026", "as in 2026-11-27; 27.11.2026 stands"),
    ("27.13.2026", "as in 2026-11-14; 27.13.2026 stands"),
    ("tomorrow", "year-month-day, as in 2026-11-14; tomorrow stands"),
    ("2026-02-30", "there is no day 2026-02-30 in the calendar"),
])
def test_a_day_is_asked_for_in_words(starter: Path, given: str, said: str) -> None:
    made = run("check", "--as-of", given, folder=starter)
    assert made.returncode == 2
    assert said in " ".join(made.stderr.split())
    assert "%" not in made.stderr


def test_one_mistake_is_one_and_what_is_not_there_is_said(starter: Path, tmp_path: Path) -> None:
    plant = tmp_path / "content" / "plant"
    plant.mkdir(parents=True)
    for file in (starter / "content" / "plant").glob("*.yml"):
        (plant / file.name).write_text(file.read_text())
    for command in ("build", "serve"):
        gone = run(command, folder=tmp_path)
        assert gone.returncode == 2
        assert "philosophy new" in gone.stderr and "--config" in gone.stderr
    (tmp_path / "mkdocs.yml").write_text((starter / "mkdocs.yml").read_text())
    (tmp_path / "content" / "pages").mkdir()
    (plant / "empty.yml").write_text("")
    for command in ("check", "build"):
        one = run(command, folder=tmp_path)
        assert one.returncode == 2
        assert one.stderr.rstrip().endswith("1 mistake; nothing was built")  # there is no last good site
        assert one.stderr.count("1 mistake") == 1
        assert "strict" not in one.stderr


def test_a_build_that_mkdocs_stops_says_what_for(starter: Path, tmp_path: Path) -> None:
    shutil.copytree(starter / "content", tmp_path / "content")
    said = (starter / "mkdocs.yml").read_text()
    (tmp_path / "mkdocs.yml").write_text(said.replace("name: material", "name: mkdocs"))
    other = run("build", folder=tmp_path)
    assert other.returncode == 2
    assert "mkdocs.yml cannot be used as it stands" in other.stderr
    assert "strict" not in other.stderr + other.stdout
    (tmp_path / "mkdocs.yml").write_text(said.replace("name: material", "name: mkdocs").replace("  - offline\n", ""))
    theme = run("build", folder=tmp_path)
    assert theme.returncode == 2
    assert "`theme: name: material` must stand in mkdocs.yml" in theme.stderr
    assert "strict" not in theme.stderr + theme.stdout
    (tmp_path / "mkdocs.yml").write_text(said)
    (tmp_path / "content" / "pages" / "more.md").write_text("# More\n\n[nowhere](nowhere.md)\n")
    warned = run("build", "--strict", folder=tmp_path)
    assert warned.returncode == 2
    assert "strict was asked for" in warned.stderr


def test_check_prints_json_for_machines(starter: Path) -> None:
    printed = json.loads(run("check", "--json", folder=starter).stdout)
    assert set(printed) == {"mistakes", "findings", "blocks"}
    assert {"rule", "name", "verdict", "severity", "place", "must", "stands"} <= set(printed["findings"][0])


def test_a_mistake_leaves_the_last_good_site(starter: Path) -> None:
    assert run("build", folder=starter).returncode == 0
    before = {path: path.read_bytes() for path in (starter / "site").rglob("*") if path.is_file()}
    broken = starter / "content" / "plant" / "zz-broken.yml"
    broken.write_text("tanks: {T-1: {area: nowhere}}\n")
    try:
        made = started("build", folder=starter)
    finally:
        broken.unlink()
    assert made.returncode == 2
    assert "zz-broken.yml:1:" in made.stderr
    assert f"the last good site stays in {starter / 'site'}" in made.stderr
    assert {path: path.read_bytes() for path in (starter / "site").rglob("*") if path.is_file()} == before
    assert [path.name for path in starter.iterdir() if path.name.startswith(".site")] == []


def test_explain_prints_the_rules_page(starter: Path) -> None:
    listed = json.loads(run("check", "--json", folder=starter).stdout)["findings"][0]
    by_number, by_name = (run("explain", listed[key], folder=starter) for key in ("rule", "name"))
    assert by_number.stdout == by_name.stdout
    assert "basis:" in by_number.stdout
    unknown = run("explain", "99.99", folder=starter)
    assert unknown.returncode == 2


def test_follow_shows_a_tag_from_its_line_to_its_pages(starter: Path) -> None:
    made = run("follow", "LSHH-101", folder=starter)
    assert made.returncode == 0, made.stderr
    for part in ("written at content/plant/", "worked out:", "review:", "switches/lshh-101.html"):
        assert part in made.stdout
    near = run("follow", "LSHH-100", folder=starter)
    assert near.returncode == 2
    assert "did you mean `LSHH-101`?" in near.stderr


def test_format_leaves_the_starter_alone(starter: Path) -> None:
    assert run("format", "--check", folder=starter).returncode == 0


def test_an_issue_is_frozen_once(starter: Path) -> None:
    made = run("issue", folder=starter)
    assert made.returncode == 0, made.stderr + made.stdout
    frozen = starter / made.stdout.strip()
    assert (frozen / "values.json").exists()
    assert sorted(path.name for path in (frozen / "plant").iterdir()) == sorted(
        path.name for path in (starter / "content" / "plant").iterdir())
    again = run("issue", folder=starter)
    assert again.returncode == 2
    assert "never written over" in again.stderr


@pytest.mark.parametrize("command", ["build", "check", "explain", "follow", "new", "format", "issue", "serve"])
def test_every_command_has_help_that_teaches(command: str) -> None:
    made = CliRunner().invoke(cli, [command, "--help"])
    assert made.exit_code == 0
    assert len(made.output.splitlines()) >= 5
