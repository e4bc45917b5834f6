"""Shared Hypothesis strategies: things of the field book, forecasts with gaps, skylines."""

import datetime as dt
from typing import Any

import numpy as np
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from shivelight.air.forecast import QUANTITIES, Ensemble
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.outing.found import AIR_WORDS, LIGHT_WORDS, MIST_WORDS, Found
from shivelight.outing.kept import (
    GROUND_WORDS,
    HEIGHT_UNITS,
    PRESSURE_WORDS,
    RASTER_KINDS,
    SEEN_FROM,
    EveningNote,
    RasterNote,
    StoredCrowns,
    StoredForecast,
    StoredSkyline,
)
from shivelight.outing.kit import Body, Kit, KitLens
from shivelight.outing.outings import LeaveWord, Outing
from shivelight.outing.pictures import ENDINGS, Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Mark, Sight, Spot, SpotState
from shivelight.outing.wishes import CHOICES, LEAF_STAGES, Wish, WishKind
from shivelight.outing.woods import AccessFact, MistHabit, Privacy, Wood

# A machine that does other work too is no reason to fail.

ZONES = ("Europe/London", "Pacific/Auckland", "America/St_Johns", "Asia/Kathmandu", "UTC")
FIRST_US = int(np.datetime64("1900-01-01", "us").astype(np.int64))
LAST_US = int(np.datetime64("2200-01-01", "us").astype(np.int64))


def texts(max_size: int = 20) -> st.SearchStrategy[str]:
    """Any text that a person, or a file, may bring, line breaks and NUL included."""
    return st.text(max_size=max_size)


def names() -> st.SearchStrategy[str]:
    """Names on one line."""
    letters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))
    return st.text(letters, min_size=1, max_size=20).filter(lambda name: bool(name.strip()))


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Finite numbers between limits, both included."""
    return st.floats(low, high, allow_nan=False)


def days() -> st.SearchStrategy[dt.date]:
    """Civil days in living memory and some way on."""
    return st.dates(dt.date(1900, 1, 1), dt.date(2200, 12, 31))


def instants() -> st.SearchStrategy[np.datetime64]:
    """Instants to the microsecond."""
    return st.integers(FIRST_US, LAST_US).map(lambda us: np.datetime64(us, "us"))


def positions() -> st.SearchStrategy[Position]:
    """Positions anywhere on the Earth."""
    return st.builds(
        Position,
        latitude_deg=numbers(-90.0, 90.0),
        longitude_deg=numbers(-180.0, 360.0),
        ground_height_m=st.none() | numbers(-500.0, 9000.0),
    )


@st.composite
def access_facts(draw: st.DrawFn) -> AccessFact:
    """Facts about getting in, with days in order."""
    first, last = sorted((draw(days()), draw(days())))
    return AccessFact(
        what=draw(names()),
        noted_on=draw(days()),
        from_day=draw(st.sampled_from((None, first))),
        to_day=draw(st.sampled_from((None, last))),
        closes=draw(st.booleans()),
        contact=draw(texts()),
    )


def outlines() -> st.SearchStrategy[tuple[tuple[float, float], ...]]:
    """Outlines: none, or three corners and more."""
    corner = st.tuples(numbers(-90.0, 90.0), numbers(-180.0, 180.0))
    drawn = st.lists(corner, min_size=3, max_size=6).map(tuple)
    return st.just(()) | drawn


def short(things: st.SearchStrategy[str]) -> st.SearchStrategy[tuple[str, ...]]:
    """Short tuples of texts."""
    return st.lists(things, max_size=3).map(tuple)


def woods() -> st.SearchStrategy[Wood]:
    """Woods with any of their parts."""
    return st.builds(
        Wood,
        name=names(),
        zone_name=st.sampled_from(ZONES),
        parking=positions(),
        ground_height_m=numbers(-500.0, 9000.0),
        stand=texts(),
        outline=outlines(),
        habit=st.builds(
            MistHabit,
            hollow_depth_m=numbers(0.0, 1000.0),
            near_water=st.booleans(),
            fog_top_m=st.none() | numbers(-500.0, 9000.0),
            depth_m=numbers(0.5, 1000.0),
            note=texts(),
        ),
        road_min=st.none() | numbers(0.0, 1440.0),
        privacy=st.sampled_from(Privacy),
        hazards=short(texts()),
        access=st.lists(access_facts(), max_size=3).map(tuple),
        note=texts(),
    )


@st.composite
def wishes(draw: st.DrawFn) -> Wish:
    """Wishes of every kind."""
    kind = draw(st.sampled_from(WishKind))
    must = draw(st.booleans())
    if kind in CHOICES:
        some = st.lists(st.sampled_from(CHOICES[kind]), min_size=1, unique=True)
        return Wish(kind=kind, must=must, choices=tuple(draw(some)))
    if kind is WishKind.SEASON:
        year = st.dates(dt.date(2024, 1, 1), dt.date(2024, 12, 31))  # a leap year
        first, last = draw(year), draw(year)
        return Wish(
            kind=kind,
            must=must,
            from_day=(first.month, first.day),
            to_day=(last.month, last.day),
        )
    if kind is WishKind.CLEAR_AIR:
        return Wish(kind=kind, must=must)
    limits = numbers(1.0, 20_000.0) if kind is WishKind.MIST else numbers(-18.0, 90.0)
    low, high = draw(st.tuples(limits, limits).filter(lambda pair: pair[0] != pair[1]).map(sorted))
    return Wish(kind=kind, must=must, low=low, high=high)


def spots(wood: st.SearchStrategy[str] | None = None) -> st.SearchStrategy[Spot]:
    """Spots with any of their parts, in a wood of a given name or any."""
    sights = st.lists(
        st.builds(
            Sight, azimuth_deg=numbers(0.0, 359.0).map(round), altitude_deg=numbers(-30.0, 90.0)
        ),
        unique_by=lambda sight: sight.azimuth_deg,
        max_size=4,
    )
    return st.builds(
        Spot,
        name=names(),
        wood=wood if wood is not None else names(),
        position=positions(),
        view_azimuth_deg=numbers(0.0, 360.0),
        lens_height_m=numbers(0.05, 10.0),
        focal_length_mm=numbers(1.0, 2000.0),
        sensor_width_mm=numbers(1.0, 200.0),
        subject=texts(),
        subject_position=st.none() | positions(),
        sights=sights.map(tuple),
        wishes=st.lists(wishes(), max_size=4).map(tuple),
        mark=st.builds(Mark, transits=short(texts()), last_confirmed=st.none() | days()),
        walk_min=st.none() | numbers(0.0, 1440.0),
        under_canopy=st.booleans(),
        if_not=texts(),
        hazards=short(texts()),
        privacy=st.sampled_from(Privacy),
        state=st.sampled_from(SpotState),
        note=texts(),
    )


@st.composite
def kit_lenses(draw: st.DrawFn) -> KitLens:
    """Lenses, primes among them."""
    shortest, longest = sorted((draw(numbers(1.0, 2000.0)), draw(numbers(1.0, 2000.0))))
    return KitLens(
        name=draw(names()),
        shortest_mm=shortest,
        longest_mm=longest,
        widest_f_number=draw(numbers(0.7, 64.0)),
        nearest_focus_m=draw(numbers(0.01, 100.0)),
    )


def kits() -> st.SearchStrategy[Kit]:
    """Bags, from empty to heavy."""
    body = st.builds(
        Body,
        name=names(),
        sensor_width_mm=numbers(1.0, 200.0),
        sensor_height_mm=numbers(1.0, 200.0),
        pixels_across=st.integers(100, 100_000),
        base_iso=st.integers(6, 25_600),
    )
    return st.builds(
        Kit,
        bodies=st.lists(body, max_size=3).map(tuple),
        lenses=st.lists(kit_lenses(), max_size=4).map(tuple),
    )


def founds(
    wood: st.SearchStrategy[str] | None = None, spot: st.SearchStrategy[str] | None = None
) -> st.SearchStrategy[Found]:
    """Draw logs of a morning, in a wood and spot of given names or any."""
    return st.builds(
        Found,
        day=days(),
        wood=wood if wood is not None else names(),
        spot=spot if spot is not None else (st.just("") | names()),
        mist=st.sampled_from(MIST_WORDS),
        optical_range_m=st.none() | numbers(0.0, 300_000.0),
        lifted_utc=st.none() | instants(),
        air=st.sampled_from(("", *AIR_WORDS)),
        light=st.sampled_from(("", *LIGHT_WORDS)),
        leaf=st.sampled_from(("", *LEAF_STAGES)),
        why_looked=st.sampled_from(("planned", "daily", "mist seen")),
        note=texts(),
    )


@st.composite
def leave_words(draw: st.DrawFn) -> LeaveWord:
    """Words left at home, the alarm after the return."""
    back = draw(instants())
    return LeaveWord(
        who=draw(texts()),
        car=draw(texts()),
        contact=draw(texts()),
        back_by_utc=back,
        alarm_utc=back + np.timedelta64(draw(st.integers(1, 10**11)), "us"),
        note=draw(texts()),
    )


def outings(
    woods: st.SearchStrategy[str] | None = None, spots: st.SearchStrategy[str] | None = None
) -> st.SearchStrategy[Outing]:
    """Outings to woods and spots of given names or any."""
    return st.builds(
        Outing,
        day=days(),
        woods=st.lists(woods if woods is not None else names(), min_size=1, max_size=3).map(tuple),
        visits=st.lists(spots if spots is not None else names(), max_size=5).map(tuple),
        word=st.none() | leave_words(),
        sheet_given=st.booleans(),
        note=texts(),
    )


@st.composite
def ensembles(draw: st.DrawFn, *, gaps: bool = True) -> Ensemble:
    """Forecasts of one member or several, hourly, with plausible values and gaps."""
    hours = draw(st.integers(1, 30))
    members = draw(st.integers(1, 4))
    start = np.datetime64("2027-11-02T12:00", "us") + np.timedelta64(draw(st.integers(0, 48)), "h")
    limits = {
        "temperature_degc": (-30.0, 40.0),
        "dew_point_degc": (-40.0, 30.0),
        "wind_speed_mps": (0.0, 40.0),
        "wind_gust_mps": (0.0, 60.0),
        "cloud_cover_frac": (0.0, 1.0),
        "low_cloud_frac": (0.0, 1.0),
        "precipitation_mm": (0.0, 60.0),
        "pressure_hpa": (900.0, 1060.0),
        "visibility_m": (0.0, 80_000.0),
    }
    rows: dict[str, Any] = {}
    for name in QUANTITIES:
        low, high = limits.get(name, (0.0, 1.0))  # the others are shares
        cells = numbers(low, high) | st.just(float("nan")) if gaps else numbers(low, high)
        rows[name] = draw(hnp.arrays(np.float64, (members, hours), elements=cells))
    return Ensemble(
        utc=start + np.arange(hours) * np.timedelta64(1, "h"),
        source=draw(texts()),
        latitude_deg=draw(st.none() | numbers(-90.0, 90.0)),
        longitude_deg=draw(st.none() | numbers(-180.0, 180.0)),
        ground_height_m=draw(st.none() | numbers(-500.0, 9000.0)),
        issued_utc=draw(st.none() | st.just(start)),
        **rows,
    )


@st.composite
def skylines(draw: st.DrawFn, *, gaps: bool = True) -> Skyline:
    """Skylines of a few to many samples, with unknown bearings."""
    count = draw(st.integers(4, 64))
    heights = numbers(-30.0, 90.0) | st.just(float("nan")) if gaps else numbers(-30.0, 90.0)
    reach = hnp.arrays(np.float64, count, elements=numbers(0.0, 1e6) | st.just(float("nan")))
    return Skyline(
        altitude_deg=draw(hnp.arrays(np.float64, count, elements=heights)),
        origin=draw(texts()),
        reach_m=draw(st.none() | reach),
    )


def stored_forecasts(
    wood: st.SearchStrategy[str] | None = None,
) -> st.SearchStrategy[StoredForecast]:
    """Payloads of any bytes."""
    return st.builds(
        StoredForecast,
        wood=wood if wood is not None else names(),
        kind=names(),
        payload=st.binary(max_size=300),
        fetched_utc=instants(),
        issued_utc=st.none() | instants(),
        url=texts(),
        headers=st.dictionaries(texts(), texts(), max_size=3),
    )


def stored_skylines() -> st.SearchStrategy[StoredSkyline]:
    """Skylines with what they were worked out from."""
    return st.builds(
        StoredSkyline,
        skyline=skylines(),
        made_utc=instants(),
        seen_from=st.sampled_from(SEEN_FROM),
        parameters=st.dictionaries(texts(), texts(), max_size=3),
    )


@st.composite
def stored_crowns(draw: st.DrawFn) -> StoredCrowns:
    """Crowns by few to many bearings and altitudes, with what is not known."""
    bearings, altitudes = draw(st.integers(4, 12)), draw(st.integers(2, 5))
    steps = st.lists(st.integers(1, 900), min_size=altitudes, max_size=altitudes, unique=True).map(
        sorted
    )
    cells = numbers(0.0, 1e4) | st.just(float("nan"))
    path_m, unseen_m = (
        draw(hnp.arrays(np.float64, (bearings, altitudes), elements=cells)) for _ in range(2)
    )
    return StoredCrowns(
        azimuth_deg=np.arange(bearings, dtype=np.float64) * (360.0 / bearings),
        altitude_deg=np.array(draw(steps), dtype=np.float64) / 10.0,
        path_m=path_m,
        unseen_m=unseen_m,
        made_utc=draw(instants()),
        seen_from=draw(st.sampled_from(SEEN_FROM)),
        parameters=draw(st.dictionaries(texts(), texts(), max_size=3)),
    )


def raster_notes() -> st.SearchStrategy[RasterNote]:
    """Draw notes on rasters."""
    return st.builds(
        RasterNote,
        kind=st.sampled_from(RASTER_KINDS),
        path=names(),
        height_unit=st.sampled_from(HEIGHT_UNITS),
        crs=texts(),
    )


def evening_notes(wood: st.SearchStrategy[str] | None = None) -> st.SearchStrategy[EveningNote]:
    """Evenings' values, any of them missing."""
    return st.builds(
        EveningNote,
        wood=wood if wood is not None else names(),
        typed_utc=instants(),
        temperature_degc=st.none() | numbers(-60.0, 60.0),
        dew_point_degc=st.none() | numbers(-80.0, 40.0),
        humidity_frac=st.none() | numbers(0.0, 1.0),
        wind_speed_mps=st.none() | numbers(0.0, 80.0),
        cloud_cover_frac=st.none() | numbers(0.0, 1.0),
        wind_words=texts(),
        cloud_words=texts(),
        ground=st.sampled_from(GROUND_WORDS),
        pressure=st.sampled_from(PRESSURE_WORDS),
        note=texts(),
    )


@st.composite
def pictures(draw: st.DrawFn, spot: st.SearchStrategy[str]) -> Picture:
    """Rows of kept pictures, any of their facts missing."""
    sha256 = draw(st.binary(min_size=32, max_size=32)).hex()
    return Picture(
        sha256=sha256,
        file_name=f"{sha256}.{draw(st.sampled_from(sorted(ENDINGS.values())))}",
        byte_count=draw(st.integers(1, 60_000_000)),
        width_px=draw(st.integers(1, 20_000)),
        height_px=draw(st.integers(1, 20_000)),
        kept_utc=draw(instants()),
        spot=draw(spot),
        taken=draw(st.none() | st.datetimes()),
        taken_offset_min=draw(st.none() | st.integers(-840, 840)),
        latitude_deg=draw(st.none() | numbers(-90.0, 90.0)),
        longitude_deg=draw(st.none() | numbers(-180.0, 180.0)),
        direction_deg=draw(st.none() | numbers(0.0, 360.0)),
        direction_is_magnetic=draw(st.none() | st.booleans()),
        focal_length_mm=draw(st.none() | numbers(0.0, 2000.0)),
        caption=draw(texts()),
    )


def season_notes() -> st.SearchStrategy[SeasonNote]:
    """Season notes with a stage, words or both."""
    stages = st.sampled_from(("", *LEAF_STAGES))
    return st.builds(SeasonNote, day=days(), stage=stages, words=names())
