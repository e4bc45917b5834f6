"""Give every command the shared options, an example and, where it has many, a table of fields."""

import functools
import inspect
import re
from collections.abc import Callable, Mapping
from typing import Annotated, Any, get_type_hints

import typer
from typer.core import TyperCommand

from shivelight.basis.errors import BadInputError
from shivelight.cli.session import Session, listen
from shivelight.workbench.fields.field import Field

Book = Annotated[
    str | None,
    typer.Option("--book", metavar="FILE", help="The field book; else as in the settings."),
]
Now = Annotated[
    str | None,
    typer.Option(
        "--now",
        metavar="'DATE HH:MM'",
        help="Pretend that the clock shows this, to rehearse an evening.",
    ),
]
Zone = Annotated[
    str | None,
    typer.Option(
        "--zone",
        metavar="ZONE",
        help="Zone of --now and of tables, such as Europe/London; else this machine's.",
    ),
]
AsJson = Annotated[
    bool, typer.Option("--json", help="Answer with one JSON document and nothing else.")
]
Verbose = Annotated[
    bool, typer.Option("--verbose", "-v", help="Tell the steps, and the details of faults.")
]
SHARED: Mapping[str, Any] = {
    "book": Book,
    "now": Now,
    "zone_name": Zone,
    "as_json": AsJson,
    "verbose": Verbose,
}
"""Options that stand before or after any command; the later one wins."""
Morning = Annotated[
    str | None,
    typer.Argument(
        metavar="DATE",
        help="2027-11-03, today or tomorrow; the coming morning unless said.",
        show_default=False,
    ),
]


class PlainCommand(TyperCommand):
    """A command whose help names what is typed, without the names of Python's types."""

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """Write the arguments and the options."""
        for title, kind in (("Arguments", "argument"), ("Options", "option")):
            records = [
                one.get_help_record(ctx)
                for one in self.get_params(ctx)
                if one.param_type_name == kind
            ]
            rows = [(re.sub(r" <[^>]*>$", "", name), text) for name, text in filter(None, records)]
            if rows:
                with formatter.section(title):
                    formatter.write_dl([(name, _plain(text)) for name, text in rows])

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """Name the arguments as they are typed."""
        return [re.sub("[{}]", "", piece) for piece in super().collect_usage_pieces(ctx)]


def _plain(text: str) -> str:
    return text.replace("  [required]", "")


def parameter_of(field: Field) -> str:
    """Name of the function parameter that carries a field."""
    return "field_" + field.key.replace(".", "_")


def annotation_of(field: Field) -> Any:
    """Write a field's option as a command's signature holds it."""
    kind: Any = bool if field.is_yes_or_no else list[str] if field.many else str
    option = typer.Option(
        field.flag, metavar=field.metavar or None, help=field.help, show_default=False
    )
    return Annotated[kind | None, option]


def command(
    app: typer.Typer, *examples: str, name: str | None = None, fields: tuple[Field, ...] = ()
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Register a command that takes a :class:`Session` first.

    Parameters
    ----------
    app : Typer
        Where it belongs.
    *examples : str
        Whole lines to type, shown under the help.
    name : str, optional
        Its word, where that is no Python name.
    fields : tuple of Field
        Passed to the function as one dict ``said`` of those that were typed, already read.
    """

    def register(function: Callable[..., None]) -> Callable[..., None]:
        body = _with_shared(function, fields)
        word = name or function.__name__.rstrip("_").replace("_", "-")
        app.command(word, cls=PlainCommand, epilog=example_text(examples))(body)
        return function

    return register


def example_text(examples: tuple[str, ...]) -> str:
    """Examples as the foot of a help page, one a line and never rewrapped."""
    title = "Example:" if len(examples) == 1 else "Examples:"
    return "\b\n" + "\n".join([title, *(f"  {line}" for line in examples)])


def read_fields(fields: tuple[Field, ...], given: Mapping[str, Any]) -> dict[str, Any]:
    """Read what was typed; fields that were not typed are left out."""
    said: dict[str, Any] = {}
    for field in fields:
        value = given.get(parameter_of(field))
        if value is None or value == []:
            continue
        if field.many:
            said[field.key] = tuple(field.read(one) for one in value)
        else:
            said[field.key] = value if isinstance(value, bool) else field.read(value)
    return said


def require_said(said: dict[str, Any], key: str, example: str, *, keep: bool = False) -> Any:
    """Take a field that must have been typed; ``keep`` leaves it among the others.

    Raises
    ------
    BadInputError
        If it was not; the text shows how.
    """
    if said.get(key) is None:
        raise BadInputError(
            f"{example.split(maxsplit=1)[0]} is missing; add it, such as {example}."
        )
    return said[key] if keep else said.pop(key)


def _with_shared(function: Callable[..., None], fields: tuple[Field, ...]) -> Callable[..., None]:
    hints = get_type_hints(function, include_extras=True)
    own = [
        one.replace(annotation=hints[one.name])
        for one in inspect.signature(function).parameters.values()
        if one.name not in {"session", "said"}
    ]
    added = [_keyword(parameter_of(field), annotation_of(field), None) for field in fields]
    shared = [
        _keyword(key, hint, False if key in {"as_json", "verbose"} else None)
        for key, hint in SHARED.items()
    ]
    context = _keyword("context", typer.Context, inspect.Parameter.empty)

    @functools.wraps(function)
    def body(context: typer.Context, **given: Any) -> None:
        session = merged(context, {key: given.pop(key) for key in SHARED})
        if fields:
            given = {
                "said": read_fields(fields, given),
                **{key: value for key, value in given.items() if not key.startswith("field_")},
            }
        function(session, **given)

    parameters = [
        one.replace(kind=inspect.Parameter.KEYWORD_ONLY)
        for one in (context, *own, *added, *shared)
    ]
    del body.__wrapped__  # its signature is not ours
    body.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    body.__annotations__ = {one.name: one.annotation for one in parameters}
    return body


def _keyword(name: str, annotation: Any, default: Any) -> inspect.Parameter:
    kind = inspect.Parameter.KEYWORD_ONLY
    return inspect.Parameter(name, kind, annotation=annotation, default=default)


def merged(context: typer.Context, typed: Mapping[str, Any]) -> Session:
    """Join what stood before the command with what stood after it."""
    before: dict[str, Any] = context.obj or {}
    told = {key: typed[key] or before.get(key) for key in SHARED}
    session = Session(
        book=told["book"],
        now=told["now"],
        zone_name=told["zone_name"],
        as_json=bool(told["as_json"]),
        verbose=bool(told["verbose"]),
    )
    listen(verbose=session.verbose)
    return session
