"""A small field book of the invented Wennick valley, for the tests of the store."""

import datetime as dt

import numpy as np

from shivelight.basis.chances import Count
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.light.reach import LightWindow
from shivelight.outing.found import Found
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
from shivelight.outing.kept import (
    EveningNote,
    RasterNote,
    StoredCrowns,
    StoredForecast,
    StoredSkyline,
)
from shivelight.outing.kit import Body, Kit, KitLens
from shivelight.outing.marks import LostAnchor, MarkAnchors, NotedDistance, NotedTransit
from shivelight.outing.outings import LeaveWord, Outing
from shivelight.outing.pictures import Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Mark, Sight, Spot
from shivelight.outing.surveys import KeptFraming, KeptStand, KeptSurvey
from shivelight.outing.wishes import parse_wish
from shivelight.outing.woods import AccessFact, MistHabit, Privacy, Wood
from shivelight.scene.anchors import Side
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Slope,
    Survey,
    trunk_at,
)
from shivelight.scene.framing import Framing, Reach
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
    season_notes,
    settings,
    skylines,
    spots,
    surveys,
    woods,
)
from shivelight.store.book import FieldBook

DAY = dt.date(2027, 11, 3)
EVENING = np.datetime64("2027-11-02T21:40:00", "us")
AT_SEA = Position(latitude_deg=53.0, longitude_deg=-5.1, ground_height_m=96.0)

PINNET = Wood(
    name="Pinnet Heath",
    zone_name="Europe/London",
    parking=AT_SEA,
    ground_height_m=96.0,
    stand="birch",
    outline=((53.0, -5.1), (53.01, -5.1), (53.01, -5.09)),
    habit=MistHabit(depth_m=3.0, note="shallow ground mist"),
    road_min=25.0,
    privacy=Privacy.OPEN,
    hazards=("deer",),
    access=(AccessFact(what="open ground", noted_on=dt.date(2027, 1, 3)),),
    note="birch heath, pine belt",
)
SALLOWDEN = Wood(
    name="Sallowden Hanger",
    zone_name="Europe/London",
    parking=Position(latitude_deg=53.02, longitude_deg=-5.12),
    ground_height_m=150.0,
    stand="beech",
    habit=MistHabit(fog_top_m=160.0, note="valley fog laps its foot"),
    access=(
        AccessFact(
            what="permissive path, owner's consent held",
            noted_on=dt.date(2027, 2, 1),
            from_day=dt.date(2027, 1, 1),
            to_day=dt.date(2027, 12, 31),
        ),
        AccessFact(what="no teaching", noted_on=dt.date(2027, 2, 1), closes=True, contact="owner"),
    ),
)
WHITE_POST_GAP = Spot(
    name="White Post Gap",
    wood="Pinnet Heath",
    position=AT_SEA,
    view_azimuth_deg=120.0,
    focal_length_mm=135.0,
    subject="seven birches before dark pines",
    sights=(Sight(azimuth_deg=90.0, altitude_deg=2.0), Sight(azimuth_deg=180.0, altitude_deg=1.5)),
    wishes=(
        parse_wish("still air", must=True),
        parse_wish("sun 2 to 6 deg", must=True),
        parse_wish("back light", must=False),
        parse_wish("from 20 Oct to 15 Nov", must=False),
    ),
    mark=Mark(transits=("white post before the split pine",), last_confirmed=dt.date(2027, 9, 4)),
    walk_min=12.0,
    if_not="bracken close to",
)
PLUMB_AND_LEAN = Spot(
    name="Plumb and Lean",
    wood="Sallowden Hanger",
    position=Position(latitude_deg=53.021, longitude_deg=-5.121),
    view_azimuth_deg=40.0,
    lens_height_m=1.1,
    subject="five beeches",
    subject_position=Position(latitude_deg=53.0212, longitude_deg=-5.1208, ground_height_m=151.5),
    wishes=(
        parse_wish("mist 120 to 260 m", must=True),
        parse_wish("leaf turning or bare", must=False),
        parse_wish("soft light", must=False),
    ),
    hazards=("ash",),
)
KIT = Kit(
    bodies=(Body(name="walker", sensor_width_mm=36, sensor_height_mm=24, pixels_across=6000),),
    lenses=(
        KitLens(name="short zoom", shortest_mm=24, longest_mm=105, widest_f_number=4),
        KitLens(name="long zoom", shortest_mm=70, longest_mm=200, widest_f_number=2.8),
    ),
)
FORECAST = StoredForecast(
    wood="Pinnet Heath",
    kind="typed",
    payload=b'{"temperature_degc": 6.2, "dew_point_degc": 4.4}\r\n\x00\xff',
    fetched_utc=EVENING,
    headers={"expires": "never"},
)
LOGS = (
    Found(
        day=DAY,
        wood="Pinnet Heath",
        spot="White Post Gap",
        mist="good",
        optical_range_m=260.0,
        lifted_utc=np.datetime64("2027-11-03T08:05:00", "us"),
        air="still",
        light="back",
        leaf="peak",
    ),
    Found(day=DAY, wood="Sallowden Hanger", mist="thin", why_looked="mist seen", note="from afar"),
)


def outlook(spot: Spot, *, chance_frac: float = 0.4) -> SpotOutlook:
    """Make an outlook with something in every field."""
    quarter_utc = np.datetime64("2027-11-03T06:30", "us") + np.arange(8) * np.timedelta64(15, "m")
    rising = np.linspace(0.1, 0.8, 8)
    start, end = quarter_utc[3], quarter_utc[5]
    return SpotOutlook(
        spot=spot.name,
        wood=spot.wood,
        chance_frac=chance_frac,
        quarter_utc=quarter_utc,
        chance_by_quarter_frac=rising / 2.0,
        best=Stretch(start_utc=start, end_utc=end),
        best_low=start,
        best_high=end,
        minutes=17.0,
        would_like_met=1.25,
        wishes=tuple(
            WishOutlook(words=wish.words, must=wish.must, chance_frac=0.3) for wish in spot.wishes
        ),
        light=(
            LightWindow(
                start_utc=start,
                end_utc=end,
                start_azimuth_deg=118.5,
                end_azimuth_deg=123.25,
                start_altitude_deg=2.0,
                end_altitude_deg=5.0,
                facing="back",
            ),
        ),
        clears_utc=start,
        leaf_air=("still",) * 8,
        mist=MistOutlook(
            quarter_utc=quarter_utc,
            mist_frac=rising,
            fog_frac=rising / 2.0,
            range_low_m=np.full(8, 90.0),
            range_mid_m=np.full(8, 260.0),
            range_high_m=np.array([900.0] * 7 + [np.nan]),
            morning_mist_frac=0.35,
            forecast_frac=0.3,
            base_frac=0.08,
            lifting=(start, end),
            hill_fog_frac=0.0,
            moved_by=(("dew point", 1.2), ("wind", -0.4)),
            missing=("pressure",),
            cost="a little",
        ),
        signs=Signs(for_it=("spread small",), not_known=("low cloud",)),
        rests_on="the model and its forecast",
        record=Count(found=2, mornings=6),
        alarm_utc=quarter_utc[0],
        set_out_utc=quarter_utc[1],
        park_utc=quarter_utc[2],
        in_place_utc=None,
        walk_min=12.0,
        if_not=spot.if_not,
    )


def morning(
    *, day: dt.date = DAY, made_utc: np.datetime64 = EVENING, chance_frac: float = 0.4
) -> Morning:
    """Make a judgement of both spots."""
    return Morning(
        day=day,
        zone_name="Europe/London",
        made_utc=made_utc,
        answer="White Post Gap, about 4 in 10.",
        go=True,
        spots=(
            outlook(WHITE_POST_GAP, chance_frac=chance_frac),
            outlook(PLUMB_AND_LEAN, chance_frac=0.2),
        ),
        visits=(
            Visit(
                spot="White Post Gap",
                arrive_utc=EVENING + np.timedelta64(9, "h"),
                leave_utc=EVENING + np.timedelta64(10, "h"),
                walk_min=12.0,
                worth=4.5,
            ),
        ),
        plan_b=OtherPlan(
            spot="Plumb and Lean", wood="Sallowden Hanger", walk_min=None, words="quiet mist"
        ),
        plan_c=None,
        cautions=("Ticks: look after the walk.",),
        almanac=Almanac(
            civil_dawn_utc=np.datetime64("2027-11-03T06:45", "us"),
            sunrise_utc=np.datetime64("2027-11-03T07:21:30", "us"),
            sunrise_azimuth_deg=114.0,
            moon_lit_frac=0.2,
            moon_up_at_dawn=False,
        ),
        forecasts=(
            (
                "Pinnet Heath",
                ForecastNote(
                    source="typed at 21:40",
                    issued_utc=None,
                    age_h=0.0,
                    members=50,
                    distance_km=None,
                    missing=("pressure_hpa",),
                ),
            ),
        ),
    )


SKYLINE = StoredSkyline(
    skyline=Skyline(
        altitude_deg=np.array([0.1, 2.0 / 3.0, np.nan, -0.25]),
        origin="ground raster",
        reach_m=np.array([5000.0, 4000.0, np.nan, 123.456]),
    ),
    made_utc=EVENING,
    parameters={"eye height": "1.4 m", "step": "90"},
)
CROWNS = StoredCrowns(
    azimuth_deg=np.array([0.0, 90.0, 180.0, 270.0]),
    altitude_deg=np.array([2.0, 10.0, 60.0]),
    path_m=np.array([[40.0, 12.5, 0.0], [0.0, 0.0, 0.0], [np.nan] * 3, [200.0, 2.0 / 3.0, 1.0]]),
    unseen_m=np.array([[0.0] * 3, [300.0, 0.0, 0.0], [0.0] * 3, [0.0] * 3]),
    made_utc=EVENING,
    parameters={"eye_height_m": "1.4", "base_frac": "0.3"},
)
RASTER = RasterNote(kind="ground", path="rasters/pinnet ground.tif", height_unit="m")
OUTING = Outing(
    day=DAY,
    woods=("Pinnet Heath", "Sallowden Hanger"),
    visits=("White Post Gap", "Plumb and Lean", "White Post Gap"),
    word=LeaveWord(
        who="Orla Penwarne",
        car="small, grey",
        contact="her sister",
        back_by_utc=np.datetime64("2027-11-03T11:00", "us"),
        alarm_utc=np.datetime64("2027-11-03T13:00", "us"),
    ),
    sheet_given=True,
)
TYPED = EveningNote(
    wood="Pinnet Heath",
    typed_utc=EVENING,
    temperature_degc=6.2,
    dew_point_degc=4.4,
    wind_speed_mps=1.3,
    wind_words="falling",
    cloud_words="clearing by 01:00",
    ground="wet",
    pressure="rising",
)
PICTURE = Picture(
    sha256="5a" * 32,
    file_name=f"{'5a' * 32}.jpg",
    byte_count=2_400_000,
    width_px=4000,
    height_px=3000,
    kept_utc=EVENING,
    spot="White Post Gap",
    taken=dt.datetime(2027, 10, 24, 8, 12, 5, tzinfo=None),  # noqa: DTZ001  the camera's clock
    taken_offset_min=60,
    latitude_deg=53.0004,
    longitude_deg=-5.0998,
    direction_deg=118.5,
    direction_is_magnetic=True,
    focal_length_mm=4.25,
    caption="from the bank",
)
LOOSE_PICTURE = Picture(
    sha256="0c" * 32,
    file_name=f"{'0c' * 32}.png",
    byte_count=90_000,
    width_px=800,
    height_px=600,
    kept_utc=EVENING,
)
SEASON_NOTES = (
    SeasonNote(day=dt.date(2027, 10, 20), stage="turning", words="birch gold, bracken down"),
    SeasonNote(day=dt.date(2027, 11, 1), words="first frost"),
)
SURVEY = KeptSurvey(
    spot="Plumb and Lean",
    survey=Survey(
        trunks=(
            trunk_at(
                "Plumb", 0.0, distance_m=7.0, width_m=0.55, role=Role.SUBJECT,
                doubt=Doubt(distance_m=0.07, angle_deg=0.5, width_m=0.01),
            ),
            trunk_at("Lean", 1.1, distance_m=13.0, width_m=0.42, lean_right_deg=8.0),
        ),
        segments=(
            Segment(
                name="low branch", start_m=(-2.0, 4.0, 2.4), end_m=(0.5, 4.2, 2.1), width_m=0.05
            ),
        ),
        holes=(
            SkyHole(
                name="gap in the crowns", angle_deg=3.0, altitude_deg=20.0, width_deg=2.0,
                height_deg=4.0,
            ),
        ),
        closed=(
            ClosedGround(name="ring of Plumb", centre_m=(0.0, 7.0), radius_m=3.0),
            ClosedGround(name="bluebells", corners_m=((1.0, 2.0), (3.0, 2.0), (3.0, 4.0))),
        ),
        slope=Slope(rise_forward_frac=0.12),
        scale_doubt_frac=0.02,
    ),
    how={"Plumb": "taped, 7 m", "low branch": "2 fists left, 5 paces"},
)  # fmt: skip
FRAMING = KeptFraming(
    spot="Plumb and Lean",
    framing=Framing(
        parts=(("Plumb", "Lean"),), subject_place=(0.1, None, 0.2), focal_lengths_mm=(35.0, 50.0)
    ),
    reach=Reach(left_m=1.2, right_m=1.2, forward_m=1.0, low_m=0.6, high_m=1.6),
)
STAND = KeptStand(
    spot="Plumb and Lean",
    kept_utc=EVENING,
    x_m=0.65,
    y_m=0.0,
    z_m=1.1,
    focal_length_mm=50.0,
    yaw_deg=-4.0,
    smallest_gap_deg=0.37,
    pair_left="Plumb",
    pair_right="Lean",
    words="Go 65 cm to the right.",
)
ANCHORS = MarkAnchors(
    spot="Plumb and Lean",
    transits=(NotedTransit(near="Plumb", near_side=Side.LEFT, far="Lean", far_side=Side.RIGHT),),
    distances=(
        NotedDistance(to="Plumb", distance_m=7.0, doubt_m=0.02, how="7 m"),
        NotedDistance(to="ride gate", distance_m=5.6, doubt_m=0.02),
    ),
    lost=(LostAnchor(name="Lean", noted_on=dt.date(2027, 11, 12)),),
)
SIGNS = {"Pinnet Heath": {"spread_k": 1.8, "wind_speed_mps": 1.3}}


def fill(book: FieldBook) -> None:
    """Put the valley into an empty book."""
    with book.writing():
        for wood in (PINNET, SALLOWDEN):
            woods.add(book, wood)
        for spot in (WHITE_POST_GAP, PLUMB_AND_LEAN):
            spots.add(book, spot)
        kit.replace(book, KIT)
        forecasts.add(book, FORECAST)
        judgements.add(book, morning(), signs=SIGNS)
        for log in LOGS:
            found.add(book, log)
        settings.put(book, "home.contact", "Orla's sister")
        skylines.put(book, "White Post Gap", SKYLINE)
        crowns.put(book, "White Post Gap", CROWNS)
        rasters.attach(book, "Pinnet Heath", RASTER)
        outings.add(book, OUTING)
        evenings.add(book, TYPED)
        pictures.add(book, PICTURE)
        pictures.add(book, LOOSE_PICTURE)
        for note in SEASON_NOTES:
            season_notes.add(book, "Pinnet Heath", note)
        surveys.put(book, SURVEY)
        surveys.put_framing(book, FRAMING)
        surveys.add_stand(book, STAND)
        marks.put(book, ANCHORS)
