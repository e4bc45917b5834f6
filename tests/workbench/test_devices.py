"""Pairing: who may come in, and when it was last here."""

from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.workbench.bench import Workbench
from tests.workbench.conftest import at, opened

TOKEN, OTHER = "ab" * 32, "cd" * 32


def test_a_paired_device_is_known_by_its_token_alone(empty: Workbench) -> None:
    phone = empty.pair_device("Orla's phone", TOKEN)
    assert phone.paired_utc == phone.last_seen_utc == at("2027-11-02T21:40")
    assert empty.device_with(TOKEN) == phone
    assert empty.device_with(OTHER) is None
    assert empty.device_with("") is None
    assert empty.devices() == (phone,)


def test_a_forgotten_device_is_let_in_no_more(empty: Workbench) -> None:
    phone = empty.pair_device("Orla's phone", TOKEN)
    tablet = empty.pair_device("tablet", OTHER)
    empty.forget_device(phone.id)
    assert empty.device_with(TOKEN) is None
    assert empty.devices() == (tablet,)
    with pytest.raises(NotFoundError, match="No device of number"):
        empty.forget_device(phone.id)


def test_a_device_needs_a_name_and_a_fingerprint(empty: Workbench) -> None:
    with pytest.raises(BadInputError, match="needs a name on one line"):
        empty.pair_device(" ", TOKEN)
    with pytest.raises(BadInputError, match="64 hexadecimal digits"):
        empty.pair_device("phone", "the token itself")
    assert empty.devices() == ()


def test_coming_is_written_down_at_most_once_a_minute(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.pair_device("phone", TOKEN)
    seen = []
    for wall in ("2027-11-02T21:40:59", "2027-11-02T21:41", "2027-11-02T21:41:59"):
        with opened(book, wall) as bench:
            given = bench.device_with(TOKEN)
            assert given is not None
            assert bench.devices() == (given,)
            seen.append(given.last_seen_utc)
    first = at("2027-11-02T21:40")
    later = first + np.timedelta64(1, "m")
    assert seen == [first, later, later]
