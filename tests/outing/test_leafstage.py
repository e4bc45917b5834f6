import datetime as dt

import numpy as np

from shivelight.outing.draws import stratified_normal
from shivelight.outing.leafstage import stage_as_noted, stage_by_member
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.wood.stands import find_stand

WANDER = stratified_normal(400, seed=1)


def stages(stand: str, day: dt.date, latitude_deg: float = 53.0) -> dict[str, float]:
    code = stage_by_member(find_stand(stand), day, latitude_deg=latitude_deg, wander=WANDER)
    return {name: float((code == index).mean()) for index, name in enumerate(LEAF_STAGES)}


def test_midwinter_is_bare_and_midsummer_full() -> None:
    assert stages("beech", dt.date(2027, 1, 10))["bare"] == 1.0
    assert stages("beech", dt.date(2027, 7, 10))["full"] == 1.0


def test_a_day_near_a_change_is_shared_between_stages() -> None:
    shares = stages("beech", dt.date(2027, 10, 30))
    assert 0.2 < shares["peak"] < 0.8
    assert abs(sum(shares.values()) - 1.0) < 1e-9


def test_evergreens_are_always_full() -> None:
    assert stages("pine", dt.date(2027, 1, 10))["full"] == 1.0


def test_south_of_the_equator_the_year_is_half_a_year_off() -> None:
    assert stages("beech", dt.date(2027, 7, 10), latitude_deg=-43.0)["bare"] == 1.0
    assert stages("beech", dt.date(2027, 1, 10), latitude_deg=-43.0)["full"] == 1.0


def test_a_fresh_note_is_believed_and_an_old_one_is_not() -> None:
    day = dt.date(2027, 11, 3)
    noted = stage_as_noted("peak", dt.date(2027, 10, 28), day, members=5)
    assert noted is not None
    assert np.all(noted == LEAF_STAGES.index("peak"))
    assert stage_as_noted("peak", dt.date(2027, 10, 20), day, members=5) is None
    assert stage_as_noted("peak", dt.date(2027, 11, 4), day, members=5) is None
