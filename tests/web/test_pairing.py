"""Pairing: a code good once and for ten minutes, counted tries, a QR code to read it by."""

import datetime as dt
import io
import re
import threading
from collections import Counter
from collections.abc import Callable

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from shivelight.web import pairing
from shivelight.web.pairing import Pairing, WrongCodeError, qr_svg, qr_terminal
from shivelight.web.refusing import TooManyTriesError
from shivelight.web.tokens import is_random_token

HOME = "http://192.168.7.20:8017"


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock() -> Clock:
    return Clock()


def numbered() -> Callable[[], str]:
    """Codes that differ and are known: AAAAAAA2, AAAAAAA3 and so on."""
    made = iter(pairing.ALPHABET)
    return lambda: "AAAAAAA" + next(made)


@pytest.fixture
def desk(clock: Clock) -> Pairing:
    return Pairing(HOME, clock=clock, choose=numbered())


def test_a_code_lets_one_device_in_once(desk: Pairing) -> None:
    code = desk.code
    token = desk.redeem(code)
    assert is_random_token(token)
    with pytest.raises(WrongCodeError, match="not the code on the screen"):
        desk.redeem(code)
    assert desk.redeem(desk.code) != token


@given(
    code=st.text(pairing.ALPHABET, min_size=8, max_size=8),
    data=st.data(),
)
def test_a_code_may_be_typed_small_and_spaced(code: str, data: st.DataObject) -> None:
    typed = "".join(
        data.draw(st.sampled_from([one, one.lower(), f" {one}", f"{one}-"])) for one in code
    )
    assert is_random_token(Pairing(HOME, choose=lambda: code).redeem(typed))


@given(code=st.text(pairing.ALPHABET, min_size=8, max_size=8), typed=st.text(max_size=80))
def test_nothing_but_the_code_is_taken(code: str, typed: str) -> None:
    desk = Pairing(HOME, choose=lambda: code)
    if pairing.plain(typed) != code:
        with pytest.raises(WrongCodeError):
            desk.redeem(typed)


def test_a_code_runs_out_after_ten_minutes(desk: Pairing, clock: Clock) -> None:
    first = desk.code
    clock.now_s += 599.0
    assert (desk.code, desk.minutes_left) == (first, 0)
    clock.now_s += 1.0
    told: list[str] = []
    desk.told = told.append
    with pytest.raises(WrongCodeError, match="no longer good"):
        desk.redeem(first)
    assert told == [desk.code]
    assert desk.code != first
    clock.now_s += 600.0
    assert desk.code not in {first, told[0]}
    assert desk.minutes_left == 10


def test_five_wrong_tries_use_a_code_up(desk: Pairing) -> None:
    first = desk.code
    told: list[str] = []
    desk.told = told.append
    for _ in range(4):
        with pytest.raises(WrongCodeError, match="not the code on the screen"):
            desk.redeem("22222222")
    assert (desk.code, told) == (first, [])
    with pytest.raises(WrongCodeError, match="no longer good"):
        desk.redeem("22222222")
    assert told == [desk.code]
    with pytest.raises(WrongCodeError):
        desk.redeem(first)
    assert is_random_token(desk.redeem(desk.code))


def test_tries_are_limited_to_ten_a_minute_for_all_together(desk: Pairing, clock: Clock) -> None:
    for _ in range(10):
        with pytest.raises(WrongCodeError):
            desk.redeem("22222222")
        clock.now_s += 1.0
    code = desk.code
    with pytest.raises(TooManyTriesError, match="wait a minute"):
        desk.redeem(code)
    clock.now_s += 49.0
    with pytest.raises(TooManyTriesError):
        desk.redeem(code)
    clock.now_s += 1.0
    assert is_random_token(desk.redeem(code))
    assert TooManyTriesError.status == 429


def test_two_devices_at_the_same_moment_cannot_share_a_code() -> None:
    desk = Pairing(HOME, choose=pairing.random_code)
    code, let_in = desk.code, []
    start = threading.Barrier(8)

    def one_try() -> None:
        start.wait()
        try:
            let_in.append(desk.redeem(code))
        except WrongCodeError:
            return

    threads = [threading.Thread(target=one_try) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(let_in) == 1


def test_codes_use_every_letter_that_cannot_be_taken_for_another() -> None:
    counted = Counter("".join(pairing.random_code() for _ in range(2_000)))
    assert set(counted) == set(pairing.ALPHABET)
    assert not set(pairing.ALPHABET) & set("01OIL")
    assert len(pairing.ALPHABET) == 31
    # 16,000 draws, 516 of each expected, standard deviation 22: six of them are 134.
    assert all(abs(count - 516) < 134 for count in counted.values())


def test_the_cookie_of_a_device_is_kept_and_closed_to_scripts() -> None:
    said = pairing.device_cookie("t" * 43)
    assert said.startswith(f"shivelight-device={'t' * 43}; ")
    assert {"HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=34560000"} <= set(said.split("; "))
    assert "Max-Age=0" in pairing.forget_cookie()


def test_a_device_is_offered_a_name() -> None:
    day = dt.date(2027, 11, 2)
    agent = "Mozilla/5.0 (Linux; Android 15) AppleWebKit/537.36"
    assert pairing.device_name(agent, day) == "Android phone of 2 November"
    assert pairing.device_name("", day) == "Device of 2 November"


def test_the_link_carries_the_code(desk: Pairing) -> None:
    assert desk.link == f"{HOME}/pair?code={desk.code}"
    assert pairing.shown("ABCDEFGH") == "ABCD EFGH"


# QR codes. The modules are segno's; what is checked is that none is lost on the way to the screen.


def _rows(text: str) -> list[list[int]]:
    plain = io.StringIO()
    segno.make(text, error="m", micro=False).save(plain, kind="txt", border=4)
    return [[int(one) for one in line] for line in plain.getvalue().split()]


@given(st.text("abcdefghijklmnop0123456789:/.?=", min_size=1, max_size=90))
def test_the_drawing_has_every_module_and_its_quiet_edge(text: str) -> None:
    rows = _rows(text)
    side = len(rows)
    svg = qr_svg(text, title="To pair")
    assert f'viewBox="0 0 {side} {side}"' in svg
    drawn = [[0] * side for _ in range(side)]
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", svg):
        for column in range(int(x), int(x) + int(length)):
            drawn[int(y)][column] = 1
    assert drawn == rows


def test_the_drawing_is_dark_on_light_and_tells_what_it_is() -> None:
    svg = qr_svg("http://a", title='Pair <a> "phone"')
    assert "<title>Pair &lt;a&gt; &quot;phone&quot;</title>" in svg
    assert 'role="img"' in svg
    assert svg.index('fill="var(--air)"') < svg.index('fill="var(--on-air)"')
    assert "style=" not in svg


def test_its_colours_are_dark_on_light_in_every_theme() -> None:
    from shivelight.drawing.tokens import THEMES, contrast_ratio

    for theme in THEMES.values():
        ink, plate = theme["on-air"], theme["air"]
        assert contrast_ratio(ink, plate) > 4.5
        assert contrast_ratio(ink, "#000000") < contrast_ratio(plate, "#000000")


@given(st.text("abcdefghij0123456789:/.?=", min_size=1, max_size=90))
def test_the_terminal_shows_every_module_black_on_white(text: str) -> None:
    lines = qr_terminal(text).split("\n")
    assert all(one.startswith("\x1b[30;107m") and one.endswith("\x1b[0m") for one in lines)
    halves = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    shown: list[list[int]] = []
    for line in lines:
        pairs = [halves[one] for one in line[9:-4]]
        shown += [[above for above, _ in pairs], [below for _, below in pairs]]
    rows = _rows(text)
    assert shown[: len(rows)] == rows
    assert all(not any(row) for row in shown[len(rows) :])
