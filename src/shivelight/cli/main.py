"""The entry point: put the commands together, run one, and leave with a code and a sentence."""

import io
import sys
import traceback
from collections.abc import Sequence
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from shivelight.cli import (
    arrive,
    book,
    demo,
    evening,
    exits,
    forecast,
    kit,
    layers,
    light,
    log,
    mark,
    mist,
    open_,
    settings,
    sheet,
    skyline,
    spot,
    spot_photo,
    stand,
    sun,
    survey,
    survey_photo,
    wood,
    wood_relief,
    wood_season,
    word,
)
from shivelight.cli.options import AsJson, Book, Now, Verbose, Zone, example_text

ORDER = (
    "book", "open", "kit", "wood", "spot", "skyline", "survey", "stand", "mark", "layers",
    "sun", "light",
    "forecast", "evening", "sheet", "word", "arrive", "log", "mist", "settings", "demo", "warm",
)  # fmt: skip


class InOrder(TyperGroup):
    """The commands in the order in which a photographer wants them, not sorted by kind."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Name the commands."""
        known = super().list_commands(ctx)
        return sorted(known, key=ORDER.index)


app = typer.Typer(
    name="shivelight",
    cls=InOrder,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 100},
    epilog=example_text(
        (
            "shivelight demo --out demo-out",
            "shivelight book new",
            "shivelight open",
            "shivelight evening judge tomorrow",
            "shivelight sheet print tomorrow --out .",
        )
    ),
)
for _noun in (
    book, kit, wood, spot, skyline, sun, light, forecast, evening, sheet, word, arrive, log, mist,
    settings, demo, survey, stand, mark, layers, spot_photo, wood_season, open_, wood_relief,
    survey_photo,
):  # fmt: skip
    _noun.register(app)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(version_text())
        raise typer.Exit


def version_text() -> str:
    """Name the program and its version."""
    from importlib.metadata import version

    return f"shivelight {version('shivelight')}"


@app.callback()
def start(
    context: typer.Context,
    book: Book = None,
    now: Now = None,
    zone_name: Zone = None,
    as_json: AsJson = False,
    verbose: Verbose = False,
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Say which version this is.", is_eager=True, callback=_version
        ),
    ] = False,
) -> None:
    """Say which of your woodland spots suits the coming mornings, why, and how sure.

    The evening before: keep the field book (kit, wood, spot, skyline), take in a forecast,
    judge, print the sheet and leave word. Out there: arrive. At home: log.
    """
    del version  # it answered already
    context.obj = {
        "book": book,
        "now": now,
        "zone_name": zone_name,
        "as_json": as_json,
        "verbose": verbose,
    }


def main(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit code; what went wrong is one line on stderr."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    verbose = "-v" in arguments or "--verbose" in arguments
    if not arguments:
        arguments = ["--help"]
    try:
        code = app(args=list(arguments), prog_name="shivelight", standalone_mode=False)
    except typer.TyperException as refusal:
        typer.echo(_usage_sentence(refusal), err=True)
        return exits.BAD_INPUT
    except (KeyboardInterrupt, Exception) as error:  # noqa: BLE001  the shell's outermost edge
        if verbose:
            traceback.print_exception(error)
            typer.echo(f"{version_text()}, Python {sys.version.split()[0]}", err=True)
        typer.echo(exits.sentence_of(error), err=True)
        return exits.code_of(error)
    if code == exits.INTERRUPTED:
        typer.echo(exits.sentence_of(KeyboardInterrupt()), err=True)
    return code if isinstance(code, int) else exits.DONE


def _usage_sentence(refusal: typer.TyperException) -> str:
    """Say what is wrong with the words of the command, and where its help is."""
    text = _plain(" ".join(refusal.format_message().split()).rstrip("."))
    context = getattr(refusal, "ctx", None)
    if context is None:
        return f"{text}. See: shivelight --help"
    if text.startswith("Missing ") and (example := _example(context.command)):
        return f"{text}; for example: {example}. See: {context.command_path} --help"
    if text == "Missing command" and isinstance(context.command, TyperGroup):
        text = f"Missing command, one of: {', '.join(context.command.list_commands(context))}"
    stop = "" if text.endswith("?") else "."
    return f"{text}{stop} See: {context.command_path} --help"


def _example(one: Any) -> str:
    """First whole line to type of a command's help, joined where it is broken."""
    joined = (one.epilog or "").replace("\\\n", "").splitlines()
    typed = [line.strip() for line in joined if line.strip().startswith("shivelight ")]
    return " ".join(typed[0].split()) if typed else ""


def _plain(text: str) -> str:
    """Say without the parser's own words that an option wants a whole number."""
    if "valid integer" not in text:
        return text
    named = text.split("'")[1] if "'" in text else "The option"
    return f"{named} wants a whole number in figures"


def run() -> None:
    """Run the command line of this process."""
    raise SystemExit(main(sys.argv[1:]))
