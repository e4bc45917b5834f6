"""The shared options: read before and after a command, and turned into a day and a form."""

import datetime as dt
import json
from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pytest
import typer

from shivelight.basis.errors import BadInputError
from shivelight.basis.records import json_text
from shivelight.cli.options import command, example_text, read_fields, require_said
from shivelight.cli.session import Session, width
from shivelight.workbench.fields.field import Field
from shivelight.workbench.read import number


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    when_utc: np.datetime64
    height_m: float
    day: dt.date


def test_the_pretended_clock_gives_the_day_and_the_instant() -> None:
    session = Session(now="2027-11-02 23:40", zone_name="America/New_York")
    assert session.today() == dt.date(2027, 11, 2)
    assert session.day("tomorrow") == dt.date(2027, 11, 3)
    assert session.now_utc() == np.datetime64("2027-11-03T03:40:00")


def test_without_a_pretended_clock_no_instant_is_given() -> None:
    assert Session().now_utc() is None


def test_json_is_one_document_and_a_number_that_is_none_is_null() -> None:
    reading = Reading(
        when_utc=np.datetime64("2027-11-03T07:38:00"),
        height_m=float("nan"),
        day=dt.date(2027, 11, 3),
    )
    assert json.loads(json_text((reading,))) == [
        {"when_utc": "2027-11-03T07:38:00Z", "height_m": None, "day": "2027-11-03"}
    ]


@pytest.mark.parametrize(("columns", "wide"), [("40", 60), ("80", 80), ("240", 100)])
def test_answers_are_set_between_60_and_100_columns(
    monkeypatch: pytest.MonkeyPatch, columns: str, wide: int
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert width() == wide


FIELDS = (
    Field(flag="--height", key="height_m", metavar="M", help="Height.", read=number),
    Field(flag="--word", key="words", metavar="WORD", help="Word.", many=True),
    Field(flag="--wet/--dry", key="wet", help="Wet."),
)


def _app(heard: list[object]) -> typer.Typer:
    app = typer.Typer(rich_markup_mode=None, add_completion=False)

    @command(app, "app try 3", name="try", fields=FIELDS)
    def try_(
        session: Session,
        count: Annotated[int, typer.Argument(metavar="N")],
        said: dict[str, object],
    ) -> None:
        """Try it."""
        heard.append((session, count, said))

    @app.callback()
    def start(context: typer.Context, book: str | None = None) -> None:
        context.obj = {"book": book}

    return app


def test_fields_that_were_typed_are_read_and_the_rest_left_out() -> None:
    heard: list[object] = []
    app = _app(heard)
    words = ["try", "3", "--height", "2,5", "--word", "a", "--word", "b", "--dry"]
    app(words, standalone_mode=False)
    app(["try", "4"], standalone_mode=False)
    assert [one[1:] for one in heard if isinstance(one, tuple)] == [
        (3, {"height_m": 2.5, "words": ("a", "b"), "wet": False}),
        (4, {}),
    ]


def test_shared_options_stand_before_or_after_the_command_and_the_later_wins() -> None:
    heard: list[object] = []
    app = _app(heard)
    app(["--book", "a", "try", "3"], standalone_mode=False)
    app(["--book", "a", "try", "3", "--book", "b", "--json"], standalone_mode=False)
    sessions = [one[0] for one in heard if isinstance(one, tuple)]
    assert sessions == [Session(book="a"), Session(book="b", as_json=True)]


def test_a_field_that_must_be_typed_says_how() -> None:
    with pytest.raises(BadInputError, match=r"--height is missing; add it, such as --height 96\."):
        require_said({}, "height_m", "--height 96")
    said = {"height_m": 2.0}
    assert require_said(said, "height_m", "--height 96", keep=True) == 2.0
    assert require_said(said, "height_m", "--height 96") == 2.0
    assert said == {}


def test_an_unreadable_field_raises_its_own_sentence() -> None:
    with pytest.raises(BadInputError, match="is no number"):
        read_fields(FIELDS, {"field_height_m": "tall"})


def test_examples_stand_on_lines_of_their_own() -> None:
    assert example_text(("a b",)) == "\b\nExample:\n  a b"
    assert example_text(("a", "b")).endswith("Examples:\n  a\n  b")
