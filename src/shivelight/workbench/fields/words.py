"""What is typed on the leave-word card."""

from shivelight.workbench import read
from shivelight.workbench.fields.field import Field

WORD = (
    Field(
        flag="--who",
        key="who",
        metavar="NAME",
        help="You; else as last time.",
        label="Who you are",
    ),
    Field(
        flag="--car",
        key="car",
        metavar="WORDS",
        help="The car, in words; else as last time.",
        label="The car",
    ),
    Field(
        flag="--contact",
        key="contact",
        metavar="WORDS",
        help="Whom to ring first; else as last time.",
        label="Whom to ring first",
    ),
    Field(
        flag="--back-by",
        key="back_by",
        metavar="HH:MM",
        help="When you are back, on the wood's clock; else as in the settings.",
        read=read.clock,
        label="Back by",
        hint="On the wood's clock, such as 11:00.",
    ),
    Field(
        flag="--alarm-at",
        key="alarm_at",
        metavar="HH:MM",
        help="When the alarm is raised; else some hours after, as in the settings.",
        read=read.clock,
        label="Alarm is raised at",
        hint="Left empty: some hours after, as in the settings.",
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything.", label="Note"),
    Field(
        flag="--let-out",
        key="let_out",
        metavar="SPOT",
        many=True,
        help="A spot of class never that may stand on this card, by its full name.",
        label="Spots of class never that may stand on this card",
        hint="Type the full name, one a line. Left empty, they stay off the card.",
    ),
)
