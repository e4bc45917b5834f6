"""A phone or other device that was let in with a pairing code."""

import re
from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError
from shivelight.outing.kept import require_instant
from shivelight.outing.woods import require_name

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A paired device. The token itself stays on it; the book knows only its fingerprint.

    Attributes
    ----------
    id : int
        Number in the book; 0 for one that is not in it yet.
    name : str
        What the person calls it.
    token_sha256 : str
        Fingerprint of its token, in hexadecimal digits.
    paired_utc, last_seen_utc : datetime64
        When it was let in, and when it last came (to the minute).
    """

    id: int = 0
    name: str
    token_sha256: str
    paired_utc: np.datetime64
    last_seen_utc: np.datetime64

    def __post_init__(self) -> None:
        require_name("device", self.name)
        if not _SHA256.fullmatch(self.token_sha256):
            raise BadInputError("A device is known by 64 hexadecimal digits; pair it again.")
        require_instant("time of pairing", self.paired_utc)
        require_instant("time last seen", self.last_seen_utc)
