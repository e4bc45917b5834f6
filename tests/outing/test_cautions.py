"""Which cautions an outing carries, in what order, and what they never say."""

import datetime as dt
import re
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.outing.cautions import CHECK_LOCAL_RULES, CautionFacts, cautions

AUTUMN = dt.date(2027, 11, 3)
PERMISSION = re.compile(
    r"\b(safe|safely|allowed|permitted|you may go|fine to|all right to|legal)\b",
    re.IGNORECASE,
)


def lines(**facts: object) -> str:
    return "\n".join(cautions(CautionFacts(day=AUTUMN, **facts)))  # type: ignore[arg-type]


def test_local_rules_come_last_and_always() -> None:
    assert cautions(CautionFacts(day=AUTUMN))[-1] == CHECK_LOCAL_RULES
    assert "check local rules" in CHECK_LOCAL_RULES


@pytest.mark.parametrize(
    ("gust_mps", "mean_wind_mps", "expected"),
    [
        (13.9, 5.0, ""),
        (14.0, 5.0, "Limbs may fall"),
        (19.9, 5.0, "Limbs may fall"),
        (20.0, 5.0, "Stay out of woods"),
        (10.0, 10.8, "Limbs may fall"),
        (10.0, 13.9, "Stay out of woods"),
    ],
)
def test_wind_line_follows_gusts_and_mean(
    gust_mps: float, mean_wind_mps: float, expected: str
) -> None:
    said = [
        line
        for line in cautions(
            CautionFacts(day=AUTUMN, gust_mps=gust_mps, mean_wind_mps=mean_wind_mps)
        )
        if line.startswith("Wind:")
    ]
    assert bool(said) is bool(expected)
    assert all(expected in line for line in said)


def test_wind_that_would_keep_one_at_home_is_said_first() -> None:
    first = cautions(CautionFacts(day=AUTUMN, gust_mps=22.0, outside_twilight=True))[0]
    assert first.startswith("Wind: gusts to 22 m/s at 10 m in the open. Stay out")


def test_missing_wind_is_said_not_passed_over() -> None:
    assert "Wind: not in this forecast" in lines()
    assert "Gusts: not in this forecast" in lines(mean_wind_mps=3.0)
    assert "not in this forecast" not in lines(gust_mps=4.0, mean_wind_mps=2.0)


def test_brittle_trees_lower_the_wind_limits() -> None:
    assert "Wind:" not in lines(gust_mps=12.0)
    assert "Wind: gusts to 12 m/s" in lines(gust_mps=12.0, hazards=("ash",))


def test_darkness_line_only_outside_civil_twilight() -> None:
    assert "Dark:" in lines(outside_twilight=True)
    assert "Dark:" not in lines(outside_twilight=False)


def test_sun_in_the_frame_warns_the_eyes() -> None:
    assert "Eyes:" in lines(sun_in_frame=True)
    assert "Eyes:" not in lines()


@pytest.mark.parametrize("hazard", ["ash", "water", "bog", "cliff", "deer", "stalking", "felling"])
def test_every_hazard_word_of_a_wood_has_its_line(hazard: str) -> None:
    assert set(cautions(CautionFacts(day=AUTUMN, hazards=(hazard,)))) > set(
        cautions(CautionFacts(day=AUTUMN))
    )


def test_unknown_hazard_words_are_kept() -> None:
    assert "Also noted: loose bull." in lines(hazards=("Loose bull",))


def test_stand_types_bring_their_own_lines() -> None:
    assert "Water:" in lines(stands=("alder carr",))
    assert "Ash:" in lines(stands=("ash",))
    assert "Veteran tree:" in lines(stands=("wood-pasture",))


def test_access_notes_of_the_day_are_repeated() -> None:
    assert "Access, as noted: felling proposal noted. Ask whether it still holds." in lines(
        access=("felling proposal noted.",)
    )


@pytest.mark.parametrize(
    ("day", "word", "expected"),
    [
        (dt.date(2028, 5, 9), "Flowers:", True),
        (dt.date(2028, 5, 9), "Nests:", True),
        (dt.date(2028, 1, 14), "Nests:", False),
        (dt.date(2028, 1, 14), "Ticks:", False),
        (dt.date(2028, 6, 1), "Ticks:", True),
    ],
)
def test_seasons(day: dt.date, word: str, expected: bool) -> None:
    assert (word in "\n".join(cautions(CautionFacts(day=day)))) is expected


def test_seasons_turn_round_south_of_the_equator() -> None:
    may = CautionFacts(day=dt.date(2028, 5, 9), southern=True)
    november = CautionFacts(day=dt.date(2028, 11, 9), southern=True)
    assert may.season_month == 11
    assert "Nests:" not in "\n".join(cautions(may))
    assert "Nests:" in "\n".join(cautions(november))


def test_frost_warns_of_ice() -> None:
    assert "Cold:" in lines(lowest_degc=1.0)
    assert "Cold:" not in lines(lowest_degc=6.0)


def test_rut_needs_deer() -> None:
    assert "Rut:" in lines(hazards=("deer",))
    assert "Rut:" not in lines()


@given(
    day=st.dates(dt.date(2027, 1, 1), dt.date(2028, 12, 31)),
    gust_mps=st.none() | st.floats(0.0, 45.0),
    mean_wind_mps=st.none() | st.floats(0.0, 30.0),
    dark=st.booleans(),
    hazards=st.lists(
        st.sampled_from(["ash", "water", "bog", "cliff", "deer", "stalking", "felling", "veteran"])
    ),
    southern=st.booleans(),
)
def test_no_line_ever_permits_and_none_repeats(
    day: dt.date,
    gust_mps: float | None,
    mean_wind_mps: float | None,
    dark: bool,
    hazards: list[str],
    southern: bool,
) -> None:
    said = cautions(
        CautionFacts(
            day=day,
            gust_mps=gust_mps,
            mean_wind_mps=mean_wind_mps,
            outside_twilight=dark,
            hazards=tuple(hazards),
            southern=southern,
        )
    )
    assert len(set(said)) == len(said)
    assert CHECK_LOCAL_RULES in said
    assert not any(PERMISSION.search(line) for line in said)
    assert all(re.match(r"[A-Z][a-z ]+: ", line) for line in said)


def test_the_permission_check_would_see_a_permission() -> None:
    for word, rest in product(("safe", "allowed"), ("today", "here")):
        assert PERMISSION.search(f"It is {word} {rest}.")
