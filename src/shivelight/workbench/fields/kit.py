"""What is typed about the bag."""

from shivelight.workbench import read
from shivelight.workbench.fields.field import Field


def _pair(value: tuple[float, float]) -> str:
    return " x ".join(f"{one:.10g}" for one in value)


def _reach(value: tuple[float, float]) -> str:
    low, high = value
    return f"{low:.10g}" if low == high else f"{low:.10g}-{high:.10g}"


NAME = (
    Field(
        flag="NAME",
        key="name",
        metavar="NAME",
        help="What you call it.",
        label="What you call it",
    ),
)
BODY = (
    Field(
        flag="--sensor",
        key="sensor",
        metavar="'W x H'",
        help="Sensor, long side first, in mm: '36 x 24'.",
        read=lambda text: read.span(text, what="sensor", unit="mm"),
        label="Sensor",
        unit="mm",
        hint="Long side first: 36 x 24.",
        write=_pair,
    ),
    Field(
        flag="--pixels-across",
        key="pixels_across",
        metavar="N",
        help="Pixels along the long side.",
        read=lambda text: read.whole(text, what="count of pixels"),
        label="Pixels along the long side",
        hint="Such as 6000.",
    ),
    Field(
        flag="--base-iso",
        key="base_iso",
        metavar="N",
        help="Lowest true ISO; 100 unless said.",
        read=lambda text: read.whole(text, what="base ISO"),
        label="Lowest true ISO",
        hint="100 unless said.",
    ),
)
LENS = (
    Field(
        flag="--focal",
        key="focal",
        metavar="MM",
        help="Focal lengths in mm as engraved: 24-105, or 50 for a prime.",
        read=lambda text: read.span(text, what="focal length", unit="mm"),
        label="Focal length",
        unit="mm",
        hint="As engraved: 24-105, or 50 for a prime.",
        write=_reach,
    ),
    Field(
        flag="--widest",
        key="widest_f_number",
        metavar="F",
        help="Widest f-number: 4, or 2.8.",
        read=lambda text: read.number(text.removeprefix("f/"), what="f-number"),
        label="Widest f-number",
        hint="4, or 2.8.",
    ),
    Field(
        flag="--nearest-focus",
        key="nearest_focus_m",
        metavar="M",
        help="Nearest focus in m; 0.5 unless said.",
        read=read.reader("nearest focus", "m"),
        label="Nearest focus",
        unit="m",
        hint="0.5 unless said.",
    ),
)
