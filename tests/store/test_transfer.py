"""The export gives an equal book back, and nothing malformed gets in or breaks anything."""

import base64
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, ShivelightError, UnreadableFileError
from shivelight.outing.devices import Device
from shivelight.outing.found import Found
from shivelight.outing.kept import StoredForecast
from shivelight.outing.kit import Kit
from shivelight.outing.outings import Outing
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.store import (
    crowns,
    devices,
    evenings,
    forecasts,
    found,
    judgements,
    kit,
    outings,
    pictures,
    rasters,
    schema,
    season_notes,
    skylines,
    spots,
    transfer,
    woods,
)
from shivelight.store import settings as facts
from shivelight.store.book import FieldBook
from shivelight.store.contents import contents
from shivelight.store.names import folded
from tests import strategies as make
from tests.store.sample import (
    EVENING,
    FORECAST,
    LOGS,
    LOOSE_PICTURE,
    SEASON_NOTES,
    SIGNS,
    morning,
)

PHONE = Device(
    name="Orla's phone", token_sha256="ab" * 32, paired_utc=EVENING, last_seen_utc=EVENING
)
Change = Callable[[dict[str, Any]], object]


def rows(book: FieldBook) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table, apart from row numbers, to compare books by."""
    kept = {}
    with book.reading() as tx:
        names: dict[str, dict[int, str]] = {
            table: {
                row.id: row.name for row in tx.exec_driver_sql(f"SELECT id, name FROM {table}")
            }
            for table in ("wood", "spot")
        }
        for table in schema.BOOK.sorted_tables:
            lines = []
            for row in tx.exec_driver_sql(f"SELECT * FROM {table.name}").mappings():
                lines.append(
                    tuple(
                        names[key[:-3]].get(value) if key in {"wood_id", "spot_id"} else value
                        for key, value in row.items()
                        if key != "id"
                        and (not key.endswith("_id") or key in {"wood_id", "spot_id"})
                    )
                )
            kept[table.name] = sorted(lines, key=repr)
    return kept


@pytest.fixture
def target(tmp_path: Path, empty_file: Path) -> FieldBook:
    """Copy an empty book to import into."""
    path = tmp_path / "target.sqlite"
    path.write_bytes(empty_file.read_bytes())
    return FieldBook.open(path)


def test_an_export_gives_an_equal_book(valley: FieldBook, target: FieldBook) -> None:
    found.add(valley, Found(**{**plain_fields(LOGS[0]), "note": "second look"}))
    text = transfer.export_text(valley)
    with target:
        transfer.import_text(target, text)
        assert transfer.export_text(target) == text
        assert rows(target) == rows(valley)
        latest = forecasts.latest(target, "Pinnet Heath")
        assert latest is not None
        assert latest.payload == FORECAST.payload


def plain_fields(value: Any) -> dict[str, Any]:
    return {name: getattr(value, name) for name in type(value).__slots__}


def test_an_export_is_plain_json(valley: FieldBook) -> None:
    plain = transfer.export_book(valley)
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain
    assert (plain["format"], plain["version"]) == ("shivelight field book", 4)
    (kept,) = plain["forecasts"]
    assert base64.b64decode(kept["forecast"]["payload"]) == FORECAST.payload
    assert kept["sha256"] == FORECAST.sha256
    assert plain["skylines"][0]["kept"]["skyline"]["altitude_deg"][2] is None
    assert plain["crowns"][0]["kept"]["path_m"][2] == [None, None, None]


def test_an_export_of_version_1_still_comes_in(valley: FieldBook, target: FieldBook) -> None:
    plain = transfer.export_book(valley)
    plain["version"] = 1
    del plain["crowns"]
    for spot in plain["spots"]:
        del spot["under_canopy"]
    for later in ("pictures", "season_notes"):
        del plain[later]
    with target:
        transfer.import_book(target, plain)
        assert spots.every(target) == spots.every(valley)
        assert crowns.every(target) == ()
        assert pictures.every(target) == ()


def test_pictures_keep_their_numbers_and_devices_stay_at_home(
    valley: FieldBook, target: FieldBook
) -> None:
    gone = pictures.add(
        valley, replace(LOOSE_PICTURE, sha256="d1" * 32, file_name=f"{'d1' * 32}.png")
    )
    with valley.writing() as tx:  # so that the numbers have a hole
        tx.execute(schema.picture.delete().where(schema.picture.c.id == 1))
    phone = devices.add(valley, PHONE)
    with target:
        own = devices.add(target, replace(PHONE, token_sha256="ee" * 32))
        text = transfer.export_text(valley)
        assert phone.token_sha256 not in text
        transfer.import_text(target, text)  # a device of its own does not fill an empty book
        assert pictures.every(target) == pictures.every(valley)
        assert pictures.get(target, gone.id) == gone
        assert season_notes.every(target) == tuple(("Pinnet Heath", note) for note in SEASON_NOTES)
        assert devices.every(target) == (own,)


def test_an_empty_book_gives_an_empty_book(book: FieldBook, target: FieldBook) -> None:
    with target:
        transfer.import_book(target, transfer.export_book(book))
        assert rows(target) == rows(book)


def test_a_book_that_holds_something_is_not_imported_into(valley: FieldBook) -> None:
    plain = transfer.export_book(valley)
    before = rows(valley)
    with pytest.raises(BadInputError, match=r"valley.sqlite is not empty; import into a new book"):
        transfer.import_book(valley, plain)
    assert rows(valley) == before


@st.composite
def whole_books(draw: st.DrawFn) -> dict[str, Any]:
    """Draw woods with spots, and whatever may hang on them."""
    drawn = st.lists(make.woods(), min_size=1, max_size=3, unique_by=lambda one: folded(one.name))
    some_woods: list[Wood] = draw(drawn)
    in_woods = st.sampled_from([wood.name for wood in some_woods])
    listed = st.lists(
        make.spots(in_woods), min_size=1, max_size=3, unique_by=lambda one: folded(one.name)
    )
    some_spots: list[Spot] = draw(listed)
    spot = draw(st.sampled_from(some_spots))
    log = make.founds(st.just(spot.wood), st.sampled_from(("", spot.name)))
    day = make.outings(in_woods, st.sampled_from([one.name for one in some_spots]))
    return {
        "woods": some_woods,
        "spots": some_spots,
        "kit": draw(make.kits()),
        "logs": draw(st.lists(log, max_size=4)),
        "outings": draw(st.lists(day, max_size=2, unique_by=lambda one: one.day)),
        "forecasts": draw(st.lists(make.stored_forecasts(in_woods), max_size=3)),
        "skyline": (spot.name, draw(make.stored_skylines())),
        "raster": (spot.wood, draw(make.raster_notes())),
        "evening": draw(make.evening_notes(in_woods)),
        "setting": (draw(make.names()), draw(make.texts())),
        "pictures": draw(
            st.lists(
                make.pictures(st.sampled_from(("", spot.name))),
                max_size=2,
                unique_by=lambda one: one.sha256,
            )
        ),
        "season notes": (spot.wood, draw(st.lists(make.season_notes(), max_size=2))),
    }


def write_all(book: FieldBook, drawn: dict[str, Any]) -> None:
    with book.writing():
        for wood in drawn["woods"]:
            woods.add(book, wood)
        for spot in drawn["spots"]:
            spots.add(book, spot)
        bag: Kit = drawn["kit"]
        kit.replace(book, bag)
        logs: list[Found] = drawn["logs"]
        for log in logs:
            found.add(book, log)
        walks: list[Outing] = drawn["outings"]
        for outing in walks:
            outings.add(book, outing)
        received: list[StoredForecast] = drawn["forecasts"]
        for forecast in received:
            forecasts.add(book, forecast)
        skylines.put(book, *drawn["skyline"])
        rasters.attach(book, *drawn["raster"])
        evenings.add(book, drawn["evening"])
        facts.put(book, *drawn["setting"])
        for picture in drawn["pictures"]:
            pictures.add(book, picture)
        wood_of_notes, notes = drawn["season notes"]
        for note in notes:
            season_notes.add(book, wood_of_notes, note)


@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(drawn=whole_books())
def test_any_book_survives_export_and_import(
    tmp_path: Path, empty_file: Path, drawn: dict[str, Any]
) -> None:
    paths = [tmp_path / name for name in ("one.sqlite", "two.sqlite")]
    for path in paths:
        path.write_bytes(empty_file.read_bytes())
    with FieldBook.open(paths[0]) as one, FieldBook.open(paths[1]) as two:
        write_all(one, drawn)
        text = transfer.export_text(one)
        transfer.import_text(two, text.encode())
        assert rows(two) == rows(one)
        assert transfer.export_text(two) == text


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "This is no JSON export"),
        ('{"format": "shivelight fie', "This is no JSON export"),
        ("[" * 100_000, "This is no JSON export"),
        (b"\xff\xfe\x00", "This is no JSON export"),
        ('{"format": "shivelight field book", "version": NaN}', "NaN is no JSON number"),
        ("[]", r"\$\.format should be 'shivelight field book'"),
        ("3", r"\$\.format should be"),
        ('{"format": "shivelight field book"}', r"does not say its version at \$\.version"),
        ('{"format": "shivelight field book", "version": true}', "does not say its version"),
        ('{"format": "shivelight field book", "version": 5}', "made by a newer Shivelight"),
        (
            '{"format": "shivelight field book", "version": 1}',
            r"settings is missing @ \$\.settings",
        ),
    ],
)
def test_what_is_no_export_is_told(book: FieldBook, text: str | bytes, sentence: str) -> None:
    with pytest.raises(UnreadableFileError, match=sentence):
        transfer.import_text(book, text)
    assert contents(book).woods == 0


def _set(*path: Any, to: Any) -> Change:
    def change(plain: dict[str, Any]) -> None:
        inner: Any = plain
        for step in path[:-1]:
            inner = inner[step]
        inner[path[-1]] = to

    return change


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            _set("woods", 0, "parking", "latitude_deg", to=99.0),
            r"latitude is 99 °.* @ \$\.woods\[0\]\.parking",
        ),
        (
            _set("woods", 1, "habit", "near_water", to="no"),
            r"'no' is neither true nor false @ \$\.woods\[1\]\.habit\.near_water",
        ),
        (
            _set("spots", 1, "wishes", 1, "kind", to="rain"),
            r"'rain' is not one of: mist, .* @ \$\.spots\[1\]\.wishes\[1\]\.kind",
        ),
        (
            _set("spots", 0, "wood", to="Threll Clough"),
            r"makes no sense at \$\.spots\[0\]: No wood named 'Threll Clough'",
        ),
        (
            _set("woods", 1, "name", to="pinnet heath"),
            r"makes no sense at \$\.woods\[1\]: The book already has a wood",
        ),
        (
            _set("forecasts", 0, "forecast", "payload", to="YWJj"),
            r"not the one that was exported @ \$\.forecasts\[0\]",
        ),
        (
            _set("forecasts", 0, "forecast", "payload", to="%%%"),
            r"the Base64 text is damaged @ \$\.forecasts\[0\]\.forecast\.payload",
        ),
        (
            _set("judgements", 0, "morning", "spots", 0, "quarter_utc", 2, to="07:30"),
            r"@ \$\.judgements\[0\]\.morning\.spots\[0\]\.quarter_utc",
        ),
        (
            _set("judgements", 0, "morning", "spots", 0, "spot", to="Root Stair"),
            r"makes no sense at \$\.judgements\[0\]: No spot named 'Root Stair'",
        ),
        (
            _set("skylines", 0, "kept", "skyline", "altitude_deg", to=[1.0, "x", 2.0, 3.0]),
            r"'x' is no number @ \$\.skylines\[0\]\.kept\.skyline\.altitude_deg",
        ),
        (
            _set("crowns", 0, "kept", "path_m", 1, to=[1.0]),
            r"is no number @ \$\.crowns\[0\]\.kept\.path_m",
        ),
        (
            _set("crowns", 0, "kept", "altitude_deg", to=[2.0, 1.0, 3.0]),
            r"The altitudes of a crown table must rise .* @ \$\.crowns\[0\]\.kept",
        ),
        (
            _set("found", 0, "day", to="yesterday"),
            r"'yesterday' is no day; .* @ \$\.found\[0\]\.day",
        ),
        (
            _set("outings", 0, "word", "alarm_utc", to="2027-11-03T09:00Z"),
            r"must come after back-by .* @ \$\.outings\[0\]\.word",
        ),
        (
            _set("kit", "bodies", 0, "pixels_across", to=6000.5),
            r"no whole number @ \$\.kit\.bodies",
        ),
        (
            _set("pictures", 0, "file_name", to="../../wennick.sqlite"),
            r"A picture's file is named by its fingerprint .* @ \$\.pictures\[0\]",
        ),
        (
            _set("pictures", 1, "id", to=1),
            r"makes no sense at \$\.pictures\[1\]: .* refuses this .*picture\.id",
        ),
        (
            _set("pictures", 0, "taken", to="2027-11-03T08:00:00+01:00"),
            r"is that of its camera, with no zone @ \$\.pictures\[0\]",
        ),
        (
            _set("season_notes", 0, "note", "stage", to="golden"),
            r"The leaf stage is one of: .* @ \$\.season_notes\[0\]\.note",
        ),
        (
            _set("settings", "home.contact", to=["x"]),
            r"is no text @ \$\.settings\['home.contact'\]",
        ),
        (_set("secret", to=1), r"nothing is known of secret @ \$"),
    ],
)
def test_a_malformed_export_names_the_place_and_leaves_the_book_empty(
    valley: FieldBook, target: FieldBook, change: Change, sentence: str
) -> None:
    plain = json.loads(transfer.export_text(valley))
    change(plain)
    with target:
        with pytest.raises(UnreadableFileError, match=sentence):
            transfer.import_book(target, plain)
        assert not any(rows(target).values())


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


def steps_into(plain: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a plain value."""
    found_here = [path] if path else []
    if isinstance(plain, dict):
        for key, inner in plain.items():
            found_here += steps_into(inner, (*path, key))
    elif isinstance(plain, list):
        for place, inner in enumerate(plain):
            found_here += steps_into(inner, (*path, place))
    return found_here


@pytest.fixture(scope="module")
def exported(valley_file: Path) -> str:
    with FieldBook.open(valley_file, read_only=True) as book:
        return transfer.export_text(book)


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_no_junk_anywhere_breaks_the_reader(
    exported: str, tmp_path: Path, empty_file: Path, data: st.DataObject
) -> None:
    plain = json.loads(exported)
    path = data.draw(st.sampled_from(steps_into(plain)))
    _set(*path, to=data.draw(JUNK))(plain)
    file = tmp_path / "junk.sqlite"
    file.write_bytes(empty_file.read_bytes())
    with FieldBook.open(file) as book:
        try:
            transfer.import_book(book, plain)
        except ShivelightError as why:
            assert len(str(why)) > 20  # noqa: PT017  either outcome is allowed
            assert not any(rows(book).values())
        else:
            assert transfer.export_book(book)["format"] == transfer.FORMAT


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(end=st.integers(0, 10_000))
def test_a_truncated_export_is_told(exported: str, book: FieldBook, end: int) -> None:
    with pytest.raises(UnreadableFileError, match="This is no JSON export"):
        transfer.import_text(book, exported[: min(end, len(exported) - 3)])


def test_signs_and_their_order_survive(valley: FieldBook, target: FieldBook) -> None:
    both = {**SIGNS, "Sallowden Hanger": {"b": 2.0, "a": 1.0}}
    judgements.add(valley, morning(), signs=both)
    with target:
        transfer.import_book(target, transfer.export_book(valley))
        assert judgements.every(target)[1][1] == both
