"""The whole book as plain JSON, and an equal book from it.

The form is that of ``basis.records``: the field names of the values, units and all, instants as
ISO 8601 in UTC, payloads in Base64 beside their SHA-256. Of pictures it holds what the book knows,
not the files, which are copied as files; paired devices belong to the machine and are left out.
"""

import json
import logging
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from sqlalchemy import select

from shivelight.basis.errors import BadInputError, NotFoundError, UnreadableFileError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.found import Found
from shivelight.outing.judgement import Morning
from shivelight.outing.kept import (
    EveningNote,
    RasterNote,
    StoredCrowns,
    StoredForecast,
    StoredSkyline,
)
from shivelight.outing.kit import Kit
from shivelight.outing.marks import MarkAnchors
from shivelight.outing.outings import Outing
from shivelight.outing.pictures import Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Spot
from shivelight.outing.surveys import KeptFraming, KeptStand, KeptSurvey
from shivelight.outing.woods import Wood
from shivelight.store import (
    crowns,
    evenings,
    forecasts,
    found,
    judgements,
    kit,
    marks,
    outings,
    pictures,
    rasters,
    schema,
    season_notes,
    settings,
    skylines,
    spots,
    surveys,
    woods,
)
from shivelight.store.book import FieldBook

FORMAT = "shivelight field book"
VERSION = 4
"""Version of the exported form; one of a later version is refused."""

T = TypeVar("T")
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class RasterOf:
    """A raster and its wood."""

    wood: str
    note: RasterNote


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkylineOf:
    """A skyline and its spot."""

    spot: str
    kept: StoredSkyline


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrownsOf:
    """Crowns and the spot that they stand round."""

    spot: str
    kept: StoredCrowns


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastOf:
    """A forecast and the fingerprint of its payload."""

    forecast: StoredForecast
    sha256: str

    def __post_init__(self) -> None:
        if self.sha256 != self.forecast.sha256:
            raise UnreadableFileError("The payload is not the one that was exported.")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonNoteOf:
    """A season note and its wood."""

    wood: str
    note: SeasonNote


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JudgementOf:
    """A judgement and the numbers of its evening by wood."""

    morning: Morning
    signs: dict[str, dict[str, float]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Export:
    """Everything in a book; things are listed so that what they refer to comes before them."""

    format: str
    version: int
    settings: dict[str, str]
    kit: Kit
    woods: tuple[Wood, ...]
    rasters: tuple[RasterOf, ...]
    spots: tuple[Spot, ...]
    skylines: tuple[SkylineOf, ...]
    crowns: tuple[CrownsOf, ...] = ()  # exports of version 1 have none
    forecasts: tuple[ForecastOf, ...]
    evenings: tuple[EveningNote, ...]
    judgements: tuple[JudgementOf, ...]
    outings: tuple[Outing, ...]
    found: tuple[Found, ...]
    found_replaced: tuple[Found, ...]
    pictures: tuple[Picture, ...] = ()  # nor have those of version 2 these
    season_notes: tuple[SeasonNoteOf, ...] = ()
    surveys: tuple[KeptSurvey, ...] = ()  # nor those of version 3 these
    framings: tuple[KeptFraming, ...] = ()
    stands: tuple[KeptStand, ...] = ()
    marks: tuple[MarkAnchors, ...] = ()


def export_book(book: FieldBook) -> dict[str, Any]:
    """Give the whole book as plain JSON values, from one state of it."""
    with book.reading_as_one():
        every_wood = woods.every(book)
        whole = Export(
            format=FORMAT,
            version=VERSION,
            settings=settings.every(book),
            kit=kit.get(book),
            woods=every_wood,
            rasters=tuple(
                RasterOf(wood=wood.name, note=note)
                for wood in every_wood
                for note in rasters.of_wood(book, wood.name)
            ),
            spots=spots.every(book),
            skylines=tuple(SkylineOf(spot=spot, kept=one) for spot, one in skylines.every(book)),
            crowns=tuple(CrownsOf(spot=spot, kept=one) for spot, one in crowns.every(book)),
            forecasts=tuple(
                ForecastOf(forecast=one, sha256=one.sha256) for one in forecasts.every(book)
            ),
            evenings=evenings.every(book),
            judgements=tuple(
                JudgementOf(morning=morning, signs=signs)
                for morning, signs in judgements.every(book)
            ),
            outings=outings.every(book),
            found=found.every(book),
            found_replaced=found.replaced(book),
            pictures=pictures.every(book),
            season_notes=tuple(
                SeasonNoteOf(wood=wood, note=note) for wood, note in season_notes.every(book)
            ),
            surveys=surveys.every(book),
            framings=surveys.every_framing(book),
            stands=surveys.every_stand(book),
            marks=marks.every(book),
        )
    plain: dict[str, Any] = to_plain(whole)
    return plain


def export_text(book: FieldBook) -> str:
    """Give the whole book as JSON text, made for reading too."""
    return json.dumps(export_book(book), ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def import_text(book: FieldBook, text: str | bytes) -> None:
    """Fill an empty book from JSON text, see :func:`import_book`.

    Raises
    ------
    UnreadableFileError
        If the text is no JSON.
    """
    try:
        plain = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as why:
        raise UnreadableFileError(f"This is no JSON export of a field book: {why}.") from why
    import_book(book, plain)


def import_book(book: FieldBook, plain: object) -> None:
    """Fill an empty book from what :func:`export_book` gave, in one transaction.

    Parameters
    ----------
    book : FieldBook
        An open book that holds nothing.
    plain : object
        Values from JSON; nothing about them is taken for granted.

    Raises
    ------
    BadInputError
        If the book holds something.
    UnreadableFileError
        If the values are no export, naming the place in it; the book then stays empty.
    """
    start = time.monotonic()
    whole = _whole(plain)
    with book.writing() as tx:
        for table in schema.BOOK.sorted_tables:
            held = tx.execute(select(table).limit(1)).first()
            if held is not None and table is not schema.device:
                raise BadInputError(
                    f"{book.path.name} is not empty; import into a new book. Nothing was changed."
                )
        _fill(book, whole)
    _log.info("%s: imported in %.2f s", book.path.name, time.monotonic() - start)


def _whole(plain: object) -> Export:
    if not isinstance(plain, dict) or plain.get("format") != FORMAT:
        raise UnreadableFileError(
            f"This is no export of a field book: $.format should be {FORMAT!r}."
        )
    version = plain.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise UnreadableFileError("This export does not say its version at $.version.")
    if version > VERSION:
        raise UnreadableFileError(
            f"This export was made by a newer Shivelight (version {version}; this one reads up "
            f"to {VERSION}); bring Shivelight up to date."
        )
    return from_plain(Export, plain)


def _fill(book: FieldBook, whole: Export) -> None:
    _put("settings", whole.settings.items(), lambda one: settings.put(book, *one))
    kit.replace(book, whole.kit)
    _put("woods", whole.woods, lambda one: woods.add(book, one))
    _put("rasters", whole.rasters, lambda one: rasters.attach(book, one.wood, one.note))
    _put("spots", whole.spots, lambda one: spots.add(book, one))
    _put("skylines", whole.skylines, lambda one: skylines.put(book, one.spot, one.kept))
    _put("crowns", whole.crowns, lambda one: crowns.put(book, one.spot, one.kept))
    _put("forecasts", whole.forecasts, lambda one: forecasts.add(book, one.forecast))
    _put("evenings", whole.evenings, lambda one: evenings.add(book, one))
    _put(
        "judgements",
        whole.judgements,
        lambda one: judgements.add(book, one.morning, signs=one.signs),
    )
    _put("outings", whole.outings, lambda one: outings.add(book, one))
    _put("found", whole.found, lambda one: found.add(book, one))
    _put("found_replaced", whole.found_replaced, lambda one: found.keep_replaced(book, one))
    _put("pictures", whole.pictures, lambda one: pictures.add(book, one))
    _put(
        "season_notes", whole.season_notes, lambda one: season_notes.add(book, one.wood, one.note)
    )
    _put("surveys", whole.surveys, lambda one: surveys.put(book, one))
    _put("framings", whole.framings, lambda one: surveys.put_framing(book, one))
    _put("stands", whole.stands, lambda one: surveys.add_stand(book, one))
    _put("marks", whole.marks, lambda one: marks.put(book, one))


def _put(name: str, things: Iterable[T], add: Callable[[T], object]) -> None:
    for place, thing in enumerate(things):
        try:
            add(thing)
        except (NotFoundError, BadInputError) as why:
            raise UnreadableFileError(
                f"The export makes no sense at $.{name}[{place}]: {why}"
            ) from why


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} is no JSON number")
