"""What is typed about a morning that was."""

from shivelight.workbench import read
from shivelight.workbench.fields.field import Field

FOUND = (
    Field(
        flag="--mist",
        key="mist",
        metavar="none|wisps|thin|good|thick",
        help="How much of it there was at its best.",
        label="Mist",
        words=("none", "wisps", "thin", "good", "thick"),
        hint="At its best.",
    ),
    Field(
        flag="--spot",
        key="spot",
        metavar="SPOT",
        help="Which spot, if you were at one.",
        label="Spot",
    ),
    Field(
        flag="--day",
        key="day",
        metavar="DATE",
        help="2027-11-03 or yesterday; today unless said.",
        label="Day",
        hint="2027-11-03 or yesterday; today unless said.",
    ),
    Field(
        flag="--range",
        key="optical_range_m",
        metavar="M",
        help="Paced to the last trunk that could be made out, in m.",
        read=read.reader("range", "m"),
        label="Last trunk you could make out",
        unit="m",
        hint="Paced.",
    ),
    Field(
        flag="--lifted",
        key="lifted",
        metavar="HH:MM",
        help="When it went, on the wood's clock.",
        read=read.clock,
        label="It went at",
        hint="On the wood's clock, such as 08:05.",
    ),
    Field(
        flag="--air",
        key="air",
        metavar="still|stirring|moving",
        help="At leaf height.",
        label="Air at the leaf",
        words=("still", "stirring", "moving"),
    ),
    Field(
        flag="--light",
        key="light",
        metavar="none|shaft|back|side|front|flat",
        help="The light there was.",
        label="Light",
        words=("none", "shaft", "back", "side", "front", "flat"),
    ),
    Field(
        flag="--leaf",
        key="leaf",
        metavar="bare|flush|full|turning|peak|drop",
        help="Stage of the leaf.",
        label="Leaf",
        words=("bare", "flush", "full", "turning", "peak", "drop"),
    ),
    Field(
        flag="--why",
        key="why_looked",
        metavar="planned|daily|'mist seen'",
        help="Why you looked: a look made because mist was seen is kept out of the counts.",
        label="Why you looked",
        words=("planned", "daily", "mist seen"),
        hint="A look made because mist was seen is kept out of the counts.",
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything.", label="Note"),
)
