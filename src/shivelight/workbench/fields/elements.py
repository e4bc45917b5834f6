"""What is typed about an element of a survey, and on the way back to a mark."""

from shivelight.workbench.fields.field import Field

ELEMENT = (
    Field(
        flag="--angle",
        key="angle",
        metavar="ANGLE",
        help="From the lens axis: -10.5, '3 right', '1 fist left', or a true bearing: 'at 118'.",
        label="Angle from the lens axis",
        hint="-10.5, 3 right, 1 fist left, or a true bearing: at 118.",
    ),
    Field(
        flag="--distance",
        key="distance",
        metavar="LENGTH",
        help="To the middle of it: '7 m', '10 paces', '23 ft'; or '6.7 m to the bark'.",
        label="Distance",
        hint="7 m, 10 paces, 23 ft, or 6.7 m to the bark; your own doubt may follow: 7 m ± 0.2.",
    ),
    Field(
        flag="--width",
        key="width",
        metavar="LENGTH",
        help="How thick it is: '55 cm', 'girth 1.7 m', '2 fingers'.",
        label="Width",
        hint="55 cm, girth 1.7 m, or 2 fingers.",
    ),
    Field(
        flag="--height",
        key="height",
        metavar="LENGTH",
        help="How tall a trunk is, or where it leaves the picture; 25 m unless said.",
        label="Height",
        hint="25 m unless said.",
    ),
    Field(
        flag="--lean",
        key="lean",
        metavar="ANGLE",
        help="How a trunk leans: '8 right', '3 left'.",
        label="Lean to the side",
        hint="8 right, 3 left.",
    ),
    Field(
        flag="--lean-away",
        key="lean_away",
        metavar="ANGLE",
        help="How it leans along the line of sight: '4 away', '4 toward me'.",
        label="Lean along the line of sight",
        hint="4 away, 4 toward me.",
    ),
    Field(
        flag="--role",
        key="role",
        metavar="subject|companion|frame|lead|intruder",
        help="What it is in the picture.",
        label="What it is in the picture",
        words=("subject", "companion", "frame", "lead", "intruder"),
    ),
    Field(
        flag="--altitude",
        key="altitude",
        metavar="ANGLE",
        help="How high a sky hole stands above the level: '12', '1 fist'.",
        label="Height of a sky hole above the level",
        hint="12, or 1 fist.",
    ),
    Field(
        flag="--size",
        key="size",
        metavar="W x H",
        help="How large a sky hole is, in degrees or fingers: '2 x 3'.",
        label="Size of a sky hole",
        hint="2 x 3, in degrees.",
    ),
    Field(
        flag="--from",
        key="from",
        metavar="PLACE",
        help="Where a branch or log begins: angle / distance / height, '5 left / 6 m / 2.4 m'.",
        label="Where a branch or log begins",
        hint="Angle / distance / height: 5 left / 6 m / 2.4 m.",
    ),
    Field(
        flag="--to",
        key="to",
        metavar="PLACE",
        help="Where it ends, in the same way.",
        label="Where it ends",
        hint="2 right / 6 m / 2.1 m.",
    ),
    Field(
        flag="--corner",
        key="corners",
        metavar="PLACE",
        many=True,
        help="A corner of closed ground: angle / distance, '10 left / 3 m'. Again for more.",
        label="Corners of closed ground",
        hint="One a line: 10 left / 3 m.",
    ),
    Field(
        flag="--radius",
        key="radius",
        metavar="LENGTH",
        help="Of a ring nobody steps into; round a trunk, 15 times its width unless said.",
        label="Radius of a ring",
        hint="Round a trunk, 15 times its width unless said.",
    ),
)
MEASURED = (
    Field(
        flag="--distance",
        key="distances",
        metavar="NAME=LENGTH",
        many=True,
        help="To the middle of a trunk: Plumb=7.12, 'gate=9 paces'. Again for more.",
        label="Distances",
        hint="One a line: Plumb=7.12.",
    ),
    Field(
        flag="--transit",
        key="transits",
        metavar="'NEAR EDGE / FAR EDGE'",
        many=True,
        help="Two edges in line: 'Plumb left / Lean right'. Again for more.",
        label="Two things in line",
        hint="One a line, the near one first: Plumb left / Lean right.",
    ),
)
ANGLES = (
    Field(
        flag="--angle",
        key="angles",
        metavar="'A to B=ANGLE'",
        many=True,
        help="From the middle of one to that of another: 'Crook to Plumb=6'. Again for more.",
        label="Angles between two things",
        hint="One a line: Crook to Plumb=6.",
    ),
    Field(
        flag="--bearing",
        key="bearings",
        metavar="NAME=DEG",
        many=True,
        help="A true bearing by compass: Plumb=205. Again for more.",
        label="True bearings",
        hint="One a line: Plumb=205.",
    ),
)


def as_words(said: dict[str, object]) -> dict[str, str]:
    """Put what was typed about an element into the words of a table's cells."""
    return {
        key.replace("_", " "): " | ".join(value) if isinstance(value, tuple) else str(value)
        for key, value in said.items()
    }
