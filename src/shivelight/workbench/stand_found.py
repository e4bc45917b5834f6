"""Where to stand at a spot, as every shell shows it."""

from dataclasses import dataclass

from shivelight.outing.surveys import KeptStand
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.standpoint import StandpointAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class StandFound:
    """Where to stand at a spot.

    Attributes
    ----------
    spot : str
        Which.
    framing, reach : Framing, Reach
        What was wished, and how far one would go.
    answer : StandpointAnswer
        What was found.
    taken : KeptStand or None
        The stand that was kept.
    """

    spot: str
    framing: Framing
    reach: Reach
    answer: StandpointAnswer
    taken: KeptStand | None = None
