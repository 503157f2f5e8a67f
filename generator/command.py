"""The command line. Exit status: 0 good, 1 built or checked with errors, 2 nothing built."""

import json
import re
import sys
from datetime import date
from pathlib import Path
from typing import NoReturn

import click
from msgspec import Struct
from msgspec.structs import asdict

from generator import build, freeze, ledger, publish, read, starter
from generator.errors import GeneratorError, unwritable
from generator.model.finding import Finding, Mistake
from generator.model.plant import Definitions
from generator.read.near import near_tag
from generator.report import follow as follow_words
from generator.report import rule as rule_words

GOOD, WITH_ERRORS, NOT_BUILT = 0, 1, 2
_SHOWN = ("fail", "cannot be assessed")

definitions = click.option("--definitions", default="content/plant", show_default=True, metavar="FOLDER",
                           type=click.Path(path_type=Path), help="Where the YAML definitions stand.")


def _day(context: click.Context, parameter: click.Parameter, value: str | None) -> date | None:
    """The day that an option gives; says how it is written where it is not written so."""
    if value is None:
        return None
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        made = _of_calendar(value)
        if made is None:
            raise click.BadParameter(f"there is no day {value} in the calendar", context, parameter)
        return made
    others = re.fullmatch(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})", value)
    meant = _of_calendar(f"{others[3]}-{others[2]:0>2}-{others[1]:0>2}") if others else None
    example = meant.isoformat() if meant else "2026-11-14"
    raise click.BadParameter(f"a day is written year-month-day, as in {example}; {value} stands", context, parameter)


def _of_calendar(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _address(context: click.Context, parameter: click.Parameter, value: str) -> tuple[str, int]:
    """Host and port that an option gives."""
    host, colon, port = value.rpartition(":")
    if not (colon and host and port.isascii() and port.isdigit() and 0 < int(port) < 65536):
        raise click.BadParameter(f"an address is written host:port, as in 127.0.0.1:8000; {value} stands",
                                 context, parameter)
    return host.strip("[]"), int(port)


day = click.option("--as-of", callback=_day, metavar="DAY",
                   help="Judge tests, waivers and holds against this day instead of the document's own.")


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="level-control-philosophy")
def cli() -> None:
    """YAML definitions of tanks, switches and interlocks in; a browsable level-control philosophy out.

    \b
    Begin a plant:        philosophy new my-plant && cd my-plant
    Look while you write: philosophy serve
    Review it:            philosophy check
    Publish it:           philosophy build

    Exit status: 0 good, 1 built or checked with errors in it, 2 nothing built (a mistake in the definitions).
    """


@cli.command(name="build")
@click.option("--config", default="mkdocs.yml", show_default=True, type=click.Path(path_type=Path),
              help="The site's MkDocs file; it names the definitions and the folder of the site.")
@click.option("--into", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the site here instead.")
@click.option("--strict", is_flag=True, help="A warning of the site (a broken link, say) stops the build.")
def build_site(config: Path, into: Path | None, strict: bool) -> None:
    """Read, check and publish the site.

    The new site is made beside the old one and swapped in when it is whole: a build that fails or is killed never
    costs the last good site.
    """
    _must_stand(config)
    try:
        made = publish.site(config, into, strict, say=_progress)
    except GeneratorError as error:
        _stop(error)
    if made.mistakes:
        _print_mistakes(made.mistakes, made.folder)
        sys.exit(NOT_BUILT)
    errors = sum(finding.is_open and finding.severity == "error" for finding in made.review.findings)
    click.echo(f"{made.folder}: {made.pages} pages; {_tally(made.review.findings)}")
    sys.exit(WITH_ERRORS if errors else GOOD)


@cli.command()
@definitions
@day
@click.option("--json", "as_json", is_flag=True, help="Print everything found as JSON, passes included.")
@click.option("--all", "everything", is_flag=True, help="Print passes, waived findings and what does not apply too.")
def check(definitions: Path, as_of: date | None, as_json: bool, everything: bool) -> None:
    """Review the definitions without building a site.

    Prints one line a finding, `file:line:column: rule subject: what must stand; what stands`, and how to cure it.
    """
    made = build.reviewed(definitions, as_of)
    if as_json:
        click.echo(json.dumps({
            "mistakes": [_plain(one) for one in made.mistakes],
            "findings": [_plain(one) for one in made.review.findings],
            "blocks": list(made.review.blocks),
        }, ensure_ascii=False, indent=1))
    if made.mistakes:
        if not as_json:
            _print_mistakes(made.mistakes)
        sys.exit(NOT_BUILT)
    if not as_json:
        for finding in made.review.findings:
            if everything or finding.verdict in _SHOWN:
                click.echo(f"{finding.severity} [{finding.verdict}] {finding}")
        for sentence in made.review.blocks:
            click.echo(sentence)
        click.echo(_tally(made.review.findings))
    sys.exit(WITH_ERRORS if any(one.is_open and one.severity == "error" for one in made.review.findings) else GOOD)


@cli.command()
@click.argument("rule")
def explain(rule: str) -> None:
    """Explain a rule of the review, by its number or its name: what it asks, why, and how to cure a finding."""
    words = rule_words(rule)
    if words is None:
        raise click.UsageError(f"no rule is called `{rule}`; a rule has a number such as 1.5 or a name in words")
    click.echo(words)


@cli.command()
@click.argument("tag")
@definitions
@day
def follow(tag: str, definitions: Path, as_of: date | None) -> None:
    """Follow one tag through the stages: where it is written, what is worked out, what the review says, its pages."""
    made = build.philosophy(definitions, as_of)
    if made.plant is None or made.results is None or made.site is None:
        _print_mistakes(made.mistakes)
        sys.exit(NOT_BUILT)
    if made.plant.find(tag) is None:
        raise click.UsageError(f"nothing is tagged {tag}{_nearest(made.plant, tag)}")
    click.echo(follow_words(tag, made.plant, made.results, made.review, made.site))


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Begin a plant: a small sump with a pump, a trip and alarms, ready to build and to change."""
    if folder.exists() and not folder.is_dir():
        raise click.UsageError(f"{folder} is a file; name a folder that is not there yet, or an empty one")
    try:
        if folder.exists() and any(folder.iterdir()):
            raise click.UsageError(f"{folder} is not empty")
        for path in starter.write(folder):
            click.echo(path)
    except OSError as error:
        _stop(unwritable(folder, error))
    click.echo(f"Now: cd {folder} && philosophy build")
    click.echo("What can be written stands in site/definitions/index.html, once built (`show_language` in plant.yml)")


@cli.command(name="format")
@definitions
@click.option("--check", "only_check", is_flag=True, help="Change nothing; exit 1 where a file would change.")
def format_files(definitions: Path, only_check: bool) -> None:
    """Put keys in the language's order, so that changes show small. Comments stay."""
    try:
        changed = read.formatted(definitions, write=not only_check)
    except OSError as error:
        _stop(unwritable(definitions, error))
    for path in changed:
        click.echo(f"{'would change' if only_check else 'changed'} {path}")
    sys.exit(WITH_ERRORS if only_check and changed else GOOD)


@cli.command()
@definitions
@click.option("--into", default="content/issued", show_default=True, type=click.Path(path_type=Path), metavar="FOLDER",
              help="Where issued revisions lie frozen.")
def issue(definitions: Path, into: Path) -> None:
    """Freeze the present revision: its definitions and every worked-out value. What was issued is never written over."""
    made = build.philosophy(definitions)
    if made.mistakes:
        _print_mistakes(made.mistakes)
        sys.exit(NOT_BUILT)
    for sentence in made.review.blocks:
        click.echo(sentence, err=True)
    if made.review.blocks:
        sys.exit(WITH_ERRORS)
    try:
        click.echo(freeze.issue(made, definitions, into))
    except GeneratorError as error:
        _stop(error)
    except OSError as error:
        _stop(unwritable(into, error))


@cli.command()
@definitions
def number(definitions: Path) -> None:
    """Number the rows and columns of the matrices. What has a number keeps it for good; what is gone keeps its own.

    The ledger is a file beside the folder of definitions; keep it with them.
    """
    made = build.reviewed(definitions)
    if made.mistakes:
        _print_mistakes(made.mistakes)
        sys.exit(NOT_BUILT)
    try:
        path, given = ledger.number(made, definitions)
    except GeneratorError as error:
        _stop(error)
    except OSError as error:
        _stop(unwritable(definitions.parent, error))
    click.echo(f"{path}: {given} new numbers")


@cli.command()
@click.option("--config", default="mkdocs.yml", show_default=True, type=click.Path(path_type=Path))
@click.option("--address", default="127.0.0.1:8000", show_default=True, metavar="HOST:PORT", callback=_address,
              help="Where to serve.")
def serve(config: Path, address: tuple[str, int]) -> None:
    """Serve the site and build it anew whenever a definition or a page changes.

    A mistake that comes while it runs is printed here, and the last good site stays.
    """
    _must_stand(config)
    try:
        mistakes = publish.serve(config, *address, say=click.echo)
    except GeneratorError as error:
        _stop(error)
    if mistakes:
        _print_mistakes(mistakes)
        sys.exit(NOT_BUILT)


def _must_stand(config: Path) -> None:
    if not config.is_file():
        _stop(GeneratorError(f"there is no file {config}: begin a plant with `philosophy new my-plant` and go into its "
                             "folder, or name the site's MkDocs file with --config"))


def _stop(error: GeneratorError) -> NoReturn:
    click.echo(f"{error}", err=True)
    sys.exit(NOT_BUILT)


def _progress(words: str) -> None:
    if sys.stderr.isatty():
        click.echo(words, err=True)


def _print_mistakes(mistakes: tuple[Mistake, ...], site: Path | None = None) -> None:
    """Every mistake and how many; of the site that stands, where there is one."""
    for mistake in mistakes:
        click.echo(str(mistake), err=True)
    stays = f"; the last good site stays in {site}" if site is not None and site.exists() else ""
    click.echo(f"{publish.said_mistakes(len(mistakes))}; nothing was built{stays}", err=True)


def _tally(findings: tuple[Finding, ...]) -> str:
    counts = {verdict: sum(one.verdict == verdict for one in findings)
              for verdict in ("pass", "fail", "cannot be assessed", "waived", "does not apply")}
    return (f"{counts['pass']} passed, {counts['fail']} failed, {counts['cannot be assessed']} cannot be assessed, "
            f"{counts['waived']} waived, {counts['does not apply']} do not apply")


def _plain(value: object) -> object:
    if isinstance(value, Struct):
        return _plain(asdict(value))
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


def _nearest(plant: Definitions, tag: str) -> str:
    cure = near_tag(tag, map(str, plant.noun_of))
    return f"; {cure}" if cure else ""

