"""A spot's skyline as its page says it: rows to type in, the drawing, where each part is from."""

from collections.abc import Mapping
from dataclasses import dataclass

from shivelight.basis.instants import to_local
from shivelight.drawing.roll_scale import RollScale
from shivelight.drawing.skyline_sketch import WIDEST_GAP_DEG, Sketch
from shivelight.drawing.words import counted, date_words
from shivelight.outing.kept import StoredSkyline
from shivelight.outing.spots import Spot
from shivelight.web.show import link
from shivelight.workbench.results import SkylineReport
from shivelight.workbench.sketch import SkylineRow

SPARE_ROWS = 3
MOST_ROWS = 400
NORTHS = ("true", "magnetic")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the table.

    Attributes
    ----------
    number : int
        From 1.
    bearing, height : str
        As typed.
    was : str
        Bearing as the book has it, true; empty for a new row.
    """

    number: int
    bearing: str
    height: str
    was: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One drawing with its scale, for the script."""

    svg: str
    scale: RollScale


@dataclass(frozen=True, slots=True, kw_only=True)
class SkylinePage:
    """A skyline to be typed.

    Attributes
    ----------
    name, back : str
        Whose, and its page.
    answer : str
        How high it stands.
    typed, worked : str
        What each part is.
    unknown : tuple of str
        Arcs of which nothing is known, in words.
    page, phone : Drawn
        The drawing.
    rows : tuple of Row
        With some empty ones at the end.
    more : str
        Lines typed beneath the table.
    north : str
        From which north new bearings count.
    wrong : str
        Why it was not taken; empty when it was.
    finger_deg, widest_gap_deg : float
        For the script.
    has_ground : bool
        Whether the wood has a raster to work it out from.
    wood, raster : str
        The wood, and the page that attaches one.
    """

    name: str
    back: str
    answer: str
    typed: str
    worked: str
    unknown: tuple[str, ...]
    page: Drawn
    phone: Drawn
    rows: tuple[Row, ...]
    more: str
    north: str
    wrong: str
    finger_deg: float
    widest_gap_deg: float
    has_ground: bool
    wood: str
    raster: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SkylineFound:
    """What the workbench says of a skyline, for its page."""

    spot: Spot
    zone_name: str
    report: SkylineReport
    worked: StoredSkyline | None
    sketch: Sketch
    finger_deg: float
    has_ground: bool


def skyline_page(
    one: SkylineFound, *, typed: Mapping[str, str] | None = None, wrong: str = ""
) -> SkylinePage:
    """Write the page, with the table as the book has it or as it was sent."""
    sent = typed or {}
    return SkylinePage(
        name=one.spot.name,
        back=link("/spot", name=one.spot.name),
        answer=_answer(one.report),
        typed=_typed(one.spot),
        worked=_worked(one),
        unknown=tuple(_unknown(one.report)),
        page=Drawn(svg=one.sketch.page, scale=one.sketch.page_scale),
        phone=Drawn(svg=one.sketch.phone, scale=one.sketch.phone_scale),
        rows=_with_spare(_sent_rows(sent) if typed is not None else _kept_rows(one.spot)),
        more=sent.get("more", ""),
        north=sent.get("north") or "true",
        wrong=wrong,
        finger_deg=one.finger_deg,
        widest_gap_deg=WIDEST_GAP_DEG,
        has_ground=one.has_ground,
        wood=one.spot.wood,
        raster=link("/wood/raster", name=one.spot.wood),
    )


def rows_of(typed: Mapping[str, str]) -> tuple[SkylineRow, ...]:
    """Read the table and the lines beneath it as rows; a bearing as the book has it is true."""
    is_magnetic = typed.get("north") == "magnetic"
    dropped = typed.get("drop", "")
    rows = [
        SkylineRow(
            bearing=row.bearing,
            height=row.height,
            is_magnetic=is_magnetic and row.bearing != row.was,
        )
        for row in _sent_rows(typed)
        if str(row.number) != dropped
    ]
    rows += [
        SkylineRow(bearing=line, height="", is_magnetic=is_magnetic)
        for line in typed.get("more", "").splitlines()
    ]
    return tuple(rows[:MOST_ROWS])


def lines_of(spot: Spot) -> str:
    """Typed heights as lines of text."""
    return "\n".join(f"{one.azimuth_deg:.6g}: {one.altitude_deg:.6g}" for one in spot.sights)


def _sent_rows(typed: Mapping[str, str]) -> list[Row]:
    columns = [_column(typed.get(key)) for key in ("bearing", "height", "was")]
    longest = min(max((len(column) for column in columns), default=0), MOST_ROWS)
    filled = [column + [""] * (longest - len(column)) for column in columns]
    return [
        Row(number=number, bearing=bearing, height=height, was=was)
        for number, (bearing, height, was) in enumerate(zip(*filled, strict=False), start=1)
    ]


def _column(text: str | None) -> list[str]:
    """Values of a box that came several times."""
    return [] if text is None else [one.strip() for one in text.split("\n")]


def _kept_rows(spot: Spot) -> list[Row]:
    return [
        Row(number=number, bearing=bearing, height=f"{one.altitude_deg:.4g}", was=bearing)
        for number, one in enumerate(spot.sights, start=1)
        for bearing in (f"{one.azimuth_deg:.5g}",)
    ]


def _with_spare(rows: list[Row]) -> tuple[Row, ...]:
    held = [row for row in rows if row.bearing or row.height]
    spare = [Row(number=0, bearing="", height="", was="") for _ in range(SPARE_ROWS)]
    return tuple(
        Row(number=number, bearing=row.bearing, height=row.height, was=row.was)
        for number, row in enumerate([*held, *spare], start=1)
    )


def _answer(report: SkylineReport) -> str:
    if report.highest_deg <= 0.0:
        return "Taken as level all round"
    return f"Highest {report.highest_deg:.1f}° toward {report.highest_toward_deg:.0f}° true"


def _typed(spot: Spot) -> str:
    if not spot.sights:
        return "Nothing typed."
    return f"{counted(len(spot.sights), 'height')} typed."


def _worked(one: SkylineFound) -> str:
    if one.worked is None:
        return "Not worked out from a raster."
    day = date_words(to_local(one.worked.made_utc, one.zone_name).date())
    note = one.report.note
    said = f"Worked out on {day}"
    if one.spot.sights:
        said += ", drawn as ground; where both are known the higher counts"
    return f"{said}. {note[:1].upper()}{note[1:]}." if note else f"{said}."


def _unknown(report: SkylineReport) -> list[str]:
    """Name the arcs by the bearings between which nothing is known."""
    if report.unknown == ((0.0, 360.0),):
        return ["Nothing is known all round: it is taken as level, so every time is too early."]
    step_deg = 360.0 / len(report.altitude_deg)
    return [
        f"Not known from {(start - step_deg) % 360.0:.0f}° to {(end + step_deg) % 360.0:.0f}°: "
        "taken as level there, so times are too early."
        for start, end in report.unknown
    ]
