"""A made-up judged morning in the Wennick valley, for what is drawn: 3 November 2027.

Every number is invented and only has to be drawn right; none is a result.
"""

import datetime as dt

import numpy as np

from shivelight.basis.chances import Count
from shivelight.basis.places import Position
from shivelight.light.reach import LightWindow
from shivelight.outing.arrive import AIR_TAPS, LIGHT_TAPS, MIST_TAPS, ArrivalChoice, ArrivalRow
from shivelight.outing.cautions import CautionFacts, cautions
from shivelight.outing.judgement import (
    Almanac,
    ForecastNote,
    MistOutlook,
    Morning,
    OtherPlan,
    Signs,
    SpotOutlook,
    Stretch,
    Visit,
    WishOutlook,
)
from shivelight.outing.outings import LeaveWord
from shivelight.outing.sheet import OnArrival, SeenLifting, SheetContext
from shivelight.outing.sheet_context import sheet_context
from shivelight.outing.spots import Mark, Spot
from shivelight.outing.wishes import parse_wish
from shivelight.outing.woods import Privacy, Wood

ZONE = "Europe/London"
DAY = dt.date(2027, 11, 3)
QUARTERS = np.arange(
    np.datetime64("2027-11-03T06:00", "us"),
    np.datetime64("2027-11-03T10:00", "us"),
    np.timedelta64(15 * 60 * 1_000_000, "us"),
)


def at(clock: str) -> np.datetime64:
    return np.datetime64(f"2027-11-03T{clock}", "us")


def mist(*, peak: float, gone: str) -> MistOutlook:
    fog = np.where(at(gone) > QUARTERS, peak, 0.0)
    late = at(gone) <= QUARTERS
    fog[late] = peak * 0.55 ** (1 + np.arange(late.sum()))
    fog[:2] = peak * 0.8
    return MistOutlook(
        quarter_utc=QUARTERS,
        mist_frac=np.minimum(fog * 1.3, 1.0),
        fog_frac=fog,
        range_low_m=np.full(QUARTERS.size, 90.0),
        range_mid_m=np.full(QUARTERS.size, 300.0),
        range_high_m=np.full(QUARTERS.size, 4000.0),
        morning_mist_frac=peak,
        forecast_frac=peak,
        base_frac=0.12,
        lifting=(at("07:50"), at("08:00"), at("08:15")),
        hill_fog_frac=0.0,
    )


def leaf(moves: str) -> tuple[str, ...]:
    return tuple(
        "not known"
        if number == 15
        else "still"
        if utc < at(moves)
        else "stirring"
        if utc < at(moves) + np.timedelta64(2700, "s")
        else "moving"
        for number, utc in enumerate(QUARTERS)
    )


def light(start: str) -> tuple[LightWindow, ...]:
    return (
        LightWindow(
            start_utc=at(start),
            end_utc=at("15:30"),
            start_azimuth_deg=118.0,
            end_azimuth_deg=240.0,
            start_altitude_deg=1.7,
            end_altitude_deg=2.0,
            starts_at_skyline=True,
            ends_at_skyline=True,
            beam_frac=0.8,
            facing="back",
            sun_in_frame=True,
        ),
    )


def outlook(
    spot: str, wood: str, *, clears: str | None, best: tuple[str, str, str] | None, **more: object
) -> SpotOutlook:
    start, end, high = best or ("07:00", "07:00", "07:00")
    values: dict[str, object] = {
        "chance_frac": 0.42,
        "quarter_utc": QUARTERS,
        "chance_by_quarter_frac": np.where(
            (at(start) - np.timedelta64(900, "s") < QUARTERS) & (at(end) > QUARTERS), 0.4, 0.02
        ),
        "best": Stretch(start_utc=at(start), end_utc=at(end)) if best else None,
        "best_low": at("07:50") if best else None,
        "best_high": at(high) if best else None,
        "minutes": 17.0,
        "would_like_met": 0.6,
        "wishes": (
            WishOutlook(words="mist 120 to 1000 m", must=True, chance_frac=0.44),
            WishOutlook(words="back light", must=True, chance_frac=0.8),
            WishOutlook(words="still air", must=False, chance_frac=0.7),
        ),
        "light": light(clears) if clears else (),
        "clears_utc": at(clears) if clears else None,
        "leaf_air": leaf("08:15"),
        "mist": mist(peak=0.44, gone="08:00"),
        "signs": Signs(
            for_it=(
                "Spread 1.8 °C and falling, wind dropping, ground wet",
                "Sun passes the 2° skyline at 07:38, before the mist has gone",
            ),
            against_it=("22 minutes is short; once it was over by 07:50",),
            not_known=("Whether the sky clears by 01:00 or later",),
            would_change=("Cloud still there at 05:30: then Plumb and Lean goes first",),
        ),
        "rests_on": "the mist model and tonight's forecast",
        "record": Count(found=4, mornings=9),
        "alarm_utc": at("05:25"),
        "set_out_utc": at("06:10"),
        "park_utc": at("06:30"),
        "in_place_utc": at("06:50"),
        "walk_min": 18.0,
        "if_not": "Stay for the pines, lit from the side once the sun is over them",
    }
    values.update(more)
    return SpotOutlook(spot=spot, wood=wood, **values)  # type: ignore[arg-type]


FIRST = outlook("White Post Gap", "Pinnet Heath", clears="07:38", best=("07:38", "08:00", "08:15"))
SECOND = outlook(
    "Plumb and Lean",
    "Sallowden Hanger",
    clears="08:36",
    best=("07:10", "07:45", "08:00"),
    record=Count(found=3, mornings=7),
    set_out_utc=at("05:55"),
    leaf_air=leaf("08:45"),
    mist=mist(peak=0.4, gone="07:45"),
    wishes=(
        WishOutlook(words="mist 120 to 260 m", must=True, chance_frac=0.4),
        WishOutlook(words="soft light", must=True, chance_frac=0.9),
    ),
)
THIRD = outlook(
    "Two Waters",
    "Ottermire Carr",
    clears="07:57",
    best=("07:57", "08:20", "08:30"),
    record=Count(found=6, mornings=8),
    set_out_utc=at("06:20"),
    mist=mist(peak=0.74, gone="08:00"),
)
NEVER = outlook(
    "Old Chair", "Hagbarrow Old Park", clears="07:45", best=("07:45", "08:00", "08:10")
)
NOT = outlook(
    "Coupe Four",
    "Marchbell Coppice",
    clears="08:03",
    best=None,
    chance_frac=0.0,
    signs=Signs(against_it=("Wants bells from 15 Apr to 10 May",)),
    record=None,
)


def spot(name: str, wood: str, *, wishes: tuple[str, ...], **more: object) -> Spot:
    return Spot(
        name=name,
        wood=wood,
        position=Position(latitude_deg=53.0, longitude_deg=-5.1),
        view_azimuth_deg=119.0,
        wishes=tuple(parse_wish(words, must=True) for words in wishes),
        **more,  # type: ignore[arg-type]
    )


WOODS = tuple(
    Wood(
        name=name,
        zone_name=ZONE,
        parking=Position(latitude_deg=53.0012, longitude_deg=-5.1034),
        ground_height_m=height,
        stand=stand,
        privacy=privacy,
    )
    for name, height, stand, privacy in (
        ("Pinnet Heath", 96.0, "birch", Privacy.DISTRICT),
        ("Sallowden Hanger", 150.0, "beech", Privacy.DISTRICT),
        ("Ottermire Carr", 61.0, "alder carr", Privacy.DISTRICT),
        ("Hagbarrow Old Park", 150.0, "oak", Privacy.OPEN),
        ("Marchbell Coppice", 110.0, "hazel", Privacy.DISTRICT),
    )
)
SPOTS = (
    spot(
        "White Post Gap",
        "Pinnet Heath",
        wishes=("mist 120 to 1000 m", "back light"),
        lens_height_m=0.9,
        focal_length_mm=135.0,
        subject="seven birches before dark pines",
        mark=Mark(
            transits=(
                "White post's right edge just touches the split birch",
                "Far pine fork sits over the third birch",
            ),
            last_confirmed=dt.date(2026, 10, 25),
        ),
    ),
    spot("Plumb and Lean", "Sallowden Hanger", wishes=("mist 120 to 260 m", "soft light")),
    spot("Two Waters", "Ottermire Carr", wishes=("mist 60 to 1000 m", "direct light")),
    spot("Old Chair", "Hagbarrow Old Park", wishes=("clear air",), privacy=Privacy.NEVER),
    spot("Coupe Four", "Marchbell Coppice", wishes=("from 15 Apr to 10 May",)),
)


def choices(mist_word: str, air: str, sky: str) -> tuple[ArrivalChoice, ...]:
    gap = ArrivalChoice(
        spot="White Post Gap",
        wood="Pinnet Heath",
        walk_min=0.0,
        from_utc=at("07:38"),
        until_utc=at("08:00"),
        why=f"sun through {mist_word} mist" if mist_word != "none" else "side light on the pines",
    )
    bank = ArrivalChoice(
        spot="Gorse Bank",
        wood="Pinnet Heath",
        walk_min=9.0,
        from_utc=at("07:10"),
        until_utc=at("07:45"),
        why=f"wants soft light: {sky} sky, {air} air",
    )
    late = ArrivalChoice(
        spot="Far Pines",
        wood="Pinnet Heath",
        walk_min=14.0,
        from_utc=at("08:30"),
        until_utc=at("09:15"),
        why="low light along the belt",
    )
    chair = ArrivalChoice(
        spot="Old Chair",
        wood="Hagbarrow Old Park",
        walk_min=40.0,
        from_utc=None,
        until_utc=None,
        why="clear air",
    )
    return (bank, late, chair) if sky == "overcast" else (gap, bank, late, chair)


ROWS = tuple(
    ArrivalRow(mist=m, air=a, light=s, choices=choices(m, a, s))
    for m in MIST_TAPS
    for a in AIR_TAPS
    for s in LIGHT_TAPS
)
ARRIVAL = OnArrival(
    rows=ROWS,
    seen=(
        SeenLifting(seen="none", times=(at("07:20"), at("07:20"), at("07:30"))),
        SeenLifting(seen="wisps", times=(at("07:30"), at("07:40"), at("08:00"))),
        SeenLifting(seen="thin", times=(at("07:35"), at("07:50"), at("08:20"))),
        SeenLifting(seen="good", times=(at("07:45"), at("08:10"), at("09:05"))),
        SeenLifting(seen="thick", times=(at("08:10"), at("09:15"))),
    ),
)
WORD = LeaveWord(
    who="Orla Penwarne",
    car="green estate car, roof rack",
    contact="sister, on the number by the telephone",
    back_by_utc=at("11:00"),
    alarm_utc=at("13:00"),
)
MORNING = Morning(
    day=DAY,
    zone_name=ZONE,
    made_utc=np.datetime64("2027-11-02T21:40", "us"),
    answer="Go to White Post Gap in Pinnet Heath; leave at 06:10.",
    go=True,
    spots=(FIRST, SECOND, THIRD, NEVER, NOT),
    visits=(
        Visit(
            spot="White Post Gap",
            arrive_utc=at("06:50"),
            leave_utc=at("08:20"),
            walk_min=18.0,
            worth=9.0,
        ),
    ),
    plan_b=OtherPlan(
        spot="Gorse Bank", wood="Pinnet Heath", walk_min=9.0, words="Gorse Bank, 9 min on foot"
    ),
    plan_c=OtherPlan(
        spot="Plumb and Lean",
        wood="Sallowden Hanger",
        walk_min=None,
        words="Plumb and Lean is 25 min off by road; its mist goes by 07:45, too late",
    ),
    cautions=cautions(
        CautionFacts(
            day=DAY,
            gust_mps=6.0,
            mean_wind_mps=2.0,
            outside_twilight=True,
            lowest_degc=2.5,
            stands=("birch",),
            sun_in_frame=True,
        )
    ),
    almanac=Almanac(
        civil_dawn_utc=at("06:45"),
        sunrise_utc=at("07:21"),
        sunrise_azimuth_deg=114.0,
        moon_lit_frac=0.2,
        moon_up_at_dawn=True,
    ),
    forecasts=(
        (
            "Pinnet Heath",
            ForecastNote(
                source="values typed in the evening",
                issued_utc=np.datetime64("2027-11-02T21:40", "us"),
                age_h=0.0,
                members=50,
                distance_km=None,
            ),
        ),
    ),
    clock_note="Clocks went back on Sunday.",
)


def context() -> SheetContext:
    return sheet_context(MORNING, (WOODS, SPOTS), arrival=ARRIVAL, word=WORD)
