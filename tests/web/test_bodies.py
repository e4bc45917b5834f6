"""Bodies and uploads: counted, timed, streamed; nothing a visitor says names a file."""

import contextlib
import hashlib
import itertools
import json
import os
import socket
import stat
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.web.bodies import shown_name
from shivelight.web.counted import BodyLimits, CountedBody, too_large
from shivelight.web.refusing import TooLargeError, TooSlowError
from tests.web.live import LARGE, SMALL, Live, finish, live

FORM = "application/x-www-form-urlencoded"
EDGE = "----of-the-tests"
MULTIPART = f"multipart/form-data; boundary={EDGE}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path


@pytest.fixture
def home(folder: Path) -> Iterator[Live]:
    with live(folder) as running:
        yield running


def part(name: str, value: bytes, file: str | None = None) -> bytes:
    named = "" if file is None else f'; filename="{file}"'
    head = f'--{EDGE}\r\nContent-Disposition: form-data; name="{name}"{named}\r\n\r\n'
    return head.encode() + value + b"\r\n"


def form(*parts: bytes) -> bytes:
    return b"".join(parts) + f"--{EDGE}--\r\n".encode()


def upload(home: Live, body: bytes, path: str = "/upload", **headers: str) -> Any:
    cookie, token = home.session()
    said = {"cookie": cookie, "origin": home.address, "content_type": MULTIPART}
    return home.ask("POST", path, body.replace(b"TOKEN", token.encode()), **(said | headers))


TOKEN = part("form_token", b"TOKEN")


# The counted body, alone


def counted(pieces: list[bytes], most_bytes: int) -> tuple[list[bytes], CountedBody]:
    waiting = [
        {"type": "http.request", "body": piece, "more_body": place < len(pieces)}
        for place, piece in enumerate(pieces, 1)
    ]

    async def receive() -> Any:
        return waiting.pop(0)

    async def read() -> tuple[list[bytes], CountedBody]:
        body = CountedBody(receive, BodyLimits(most_bytes=most_bytes))
        got: list[bytes] = []
        with contextlib.suppress(TooLargeError):
            while not body.is_over:
                got.append((await body())["body"])
        return got, body

    return finish(read())


@given(pieces=st.lists(st.binary(max_size=9), min_size=1, max_size=8), most=st.integers(0, 40))
def test_every_byte_up_to_the_limit_comes_through_and_none_after(
    pieces: list[bytes], most: int
) -> None:
    got, body = counted(pieces, most)
    whole = b"".join(pieces)
    if len(whole) <= most:
        assert (b"".join(got), body.refused) == (whole, None)
    else:
        assert isinstance(body.refused, TooLargeError)
        assert whole.startswith(b"".join(got))
        assert len(b"".join(got)) <= most


def test_a_stopped_body_stays_stopped() -> None:
    async def receive() -> Any:
        return {"type": "http.request", "body": b"xx", "more_body": True}

    async def read() -> None:
        body = CountedBody(receive, BodyLimits(most_bytes=1))
        for _ in range(2):
            with pytest.raises(TooLargeError, match="at most 0 kB"):
                await body()

    finish(read())


def test_a_body_that_trickles_is_stopped_by_its_mean_rate() -> None:
    now_s = 0.0

    async def receive() -> Any:
        nonlocal now_s
        now_s += 5.0
        return {"type": "http.request", "body": b"x" * 10, "more_body": True}

    async def read() -> float:
        limits = BodyLimits(idle_s=20.0, grace_s=60.0, least_bytes_per_s=2_000.0)
        body = CountedBody(receive, limits, clock=lambda: now_s)
        while now_s < 1_000.0:
            try:
                await body()
            except TooSlowError:
                break
        return now_s

    # Twelve pieces of 5 s fill the grace; the one that comes after it is the last waited for.
    assert finish(read()) == 70.0


def test_the_limit_is_told_in_the_unit_of_its_size() -> None:
    assert "at most 60 MB" in str(too_large(60_000_000))
    assert "at most 2,000 MB" in str(too_large(2_000_000_000))
    assert "at most 20 kB" in str(too_large(20_000))


# Bodies over the wire


def test_an_announced_body_is_refused_before_it_is_sent(home: Live) -> None:
    head = home.head(
        "POST", "/write", origin=home.address, content_length=str(SMALL.most_bytes + 1),
        expect="100-continue",
    )  # fmt: skip
    began_s = time.monotonic()
    answer = home.send(head)
    assert answer.status == 413
    assert b"at most 20 kB can be sent here" in answer.body
    assert answer.headers["connection"] == "close"
    assert time.monotonic() - began_s < SMALL.idle_s


def test_a_body_at_the_limit_is_read(home: Live) -> None:
    cookie, token = home.session()
    body = f"form_token={token}&word=".encode()
    body += b"x" * (SMALL.most_bytes - len(body))
    said = {"origin": home.address, "cookie": cookie, "content_type": FORM}
    assert home.ask("POST", "/write", body, **said).status == 200
    assert home.ask("POST", "/write", body + b"x", **said).status == 413


def test_a_chunked_body_is_counted_as_it_comes(home: Live) -> None:
    cookie, token = home.session()
    head = home.head(
        "POST", "/write", origin=home.address, cookie=cookie, content_type=FORM,
        content_length="", transfer_encoding="chunked",
    )  # fmt: skip
    short = f"form_token={token}&word=a".encode()
    assert home.send(head + b"%x\r\n%s\r\n0\r\n\r\n" % (len(short), short)).status == 200
    chunk = b"1000\r\n" + b"x" * 0x1000 + b"\r\n"
    answer = home.send(head, *[chunk] * 6, pause_s=0.01)
    assert answer.status == 413
    assert home.app.state.written == ["a"]


def test_a_length_that_is_none_is_refused(home: Live) -> None:
    for said in ("-1", "1e3", "0x10", "９"):
        head = home.head("POST", "/write", origin=home.address, content_length="LENGTH")
        assert home.send(head.replace(b"LENGTH", said.encode())).status == 400
    assert home.ask("POST", "/write", origin=home.address, content_length="9" * 15).status == 413


def test_a_browser_that_is_still_sending_is_listened_to_for_a_while(home: Live) -> None:
    """Hanging up at once resets the line, and some systems then drop the sentence unread."""
    size = 12_000_000
    head = home.head("POST", "/write", origin=home.address, content_length=str(size))
    with socket.create_connection(("127.0.0.1", home.port), timeout=10) as line:
        line.sendall(head + b"x" * size)
        read = b""
        while piece := line.recv(65_536):  # a line that is reset would raise
            read += piece
    assert read.startswith(b"HTTP/1.1 413 ")
    assert b"too large" in read


def test_a_body_that_stops_coming_is_given_up(home: Live) -> None:
    head = home.head("POST", "/write", origin=home.address, content_type=FORM, content_length="9")
    began_s = time.monotonic()
    answer = home.send(head, b"word=")
    assert answer.status == 408
    assert b"too slowly" in answer.body
    assert SMALL.idle_s <= time.monotonic() - began_s < SMALL.idle_s + 4.0


def test_a_body_that_trickles_is_given_up(home: Live) -> None:
    head = home.head("POST", "/write", origin=home.address, content_type=FORM, content_length="99")
    began_s = time.monotonic()
    with socket.create_connection(("127.0.0.1", home.port), timeout=10) as line:
        line.sendall(head)
        with contextlib.suppress(OSError):
            while time.monotonic() - began_s < 8.0:
                line.sendall(b"x")
                line.settimeout(0.2)
                with contextlib.suppress(TimeoutError):
                    if line.recv(1_000).startswith(b"HTTP/1.1 408"):
                        break
        spent_s = time.monotonic() - began_s
    assert SMALL.grace_s <= spent_s < SMALL.grace_s + 1.0


def test_others_are_answered_while_one_is_slow(home: Live) -> None:
    head = home.head("POST", "/write", origin=home.address, content_length="9")
    lines = [socket.create_connection(("127.0.0.1", home.port)) for _ in range(20)]
    for line in lines:
        line.sendall(head)
    assert home.ask("GET", "/").status == 200
    for line in lines:
        line.close()


# Uploads


def test_a_file_comes_whole_under_a_name_of_ours(home: Live, folder: Path) -> None:
    data = os.urandom(200_000)
    body = form(TOKEN, part("wood", b"Pinnet Heath"), part("file", data, "hill.tif"))
    answer = upload(home, body)
    assert answer.status == 200
    told = json.loads(answer.body)
    path = Path(told["path"])
    assert path.parent == folder
    assert path.name.startswith("upload-")
    assert path.suffix == ".part"
    assert path.read_bytes() == data
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert (told["sha256"], told["size"]) == (hashlib.sha256(data).hexdigest(), len(data))
    assert told["name"] == "hill.tif"
    assert told["fields"]["wood"] == "Pinnet Heath"


@pytest.mark.parametrize(
    "name",
    ["../../etc/hosts", "/etc/hosts", "..\\\\..\\\\hosts", "C:\\\\hosts", ".", "..", "a\x00b", "",
     "%2e%2e%2fhosts", "~/hosts", "-rf", "nul"],
)  # fmt: skip
def test_no_name_that_is_sent_leads_anywhere(home: Live, folder: Path, name: str) -> None:
    before = {one for one in folder.parent.rglob("*") if one.is_file()}
    answer = upload(home, form(TOKEN, part("file", b"x", name)))
    assert answer.status == 200
    after = {one for one in folder.parent.rglob("*") if one.is_file()}
    assert [one.parent for one in after - before] == [folder]
    assert "/" not in json.loads(answer.body)["name"]


@given(st.text(max_size=200))
def test_a_shown_name_has_no_folder_and_can_be_shown(name: str) -> None:
    shown = shown_name(name)
    assert not set(shown) & set("/\\\x00\n\r")
    assert len(shown) <= 120
    assert shown.isprintable()


def _left(folder: Path) -> list[Path]:
    return [one for one in folder.iterdir() if one.is_file()]


@pytest.mark.parametrize(
    ("body", "status", "told"),
    [
        (form(part("file", b"x", "a")), 403, b"load the page again"),
        (
            form(part("form_token", b"0" * 64), part("file", b"x", "a")),
            403,
            b"load the page again",
        ),
        (form(part("file", b"x", "a"), TOKEN), 403, b"load the page again"),
        (form(TOKEN, part("file", b"x" * 260_000, "a")), 413, b"at most 250 kB"),
        (form(TOKEN, part("file", b"x" * 310_000, "a")), 413, b"at most 300 kB"),
        (form(TOKEN, part("note", b"x" * 20_001), part("file", b"x", "a")), 413, b"20 kB"),
    ],
)
def test_a_refused_upload_leaves_nothing(
    home: Live, folder: Path, body: bytes, status: int, told: bytes
) -> None:
    answer = upload(home, body)
    assert answer.status == status
    assert told in answer.body
    assert _left(folder) == []


@pytest.mark.parametrize(
    "body",
    [
        form(TOKEN), form(TOKEN, part("file", b"", "a")), b"", b"nonsense",
        form(TOKEN, part("file", b"x", "a"), part("file", b"y", "b")),
        (TOKEN + part("file", b"x" * 1_000, "a"))[:-1],
        form(TOKEN, *[part(f"f{n}", b"") for n in range(50)], part("file", b"x", "a")),
        form(TOKEN, part("file", b"x", "a"))[:-8],
    ],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/upload", "/photo"])
def test_a_form_that_is_not_whole_is_refused_and_leaves_nothing(
    home: Live, folder: Path, body: bytes, path: str
) -> None:
    answer = upload(home, body, path)
    assert answer.status == 422
    assert _left(folder) == []


def test_a_form_of_another_kind_is_refused(home: Live, folder: Path) -> None:
    for kind in (FORM, "multipart/form-data", "text/plain", ""):
        assert upload(home, form(TOKEN, part("file", b"x", "a")), content_type=kind).status == 422
    assert _left(folder) == []


def test_an_upload_that_breaks_off_leaves_nothing(home: Live, folder: Path) -> None:
    cookie, token = home.session()
    body = form(TOKEN, part("file", b"x" * 200_000, "a")).replace(b"TOKEN", token.encode())
    head = home.head(
        "POST", "/upload", body=body, origin=home.address, cookie=cookie, content_type=MULTIPART
    )
    with socket.create_connection(("127.0.0.1", home.port)) as line:
        line.sendall(head + body[:100_000])
        _until(lambda: len(_left(folder)) == 1)
    _until(lambda: _left(folder) == [])


def test_an_upload_that_stops_coming_leaves_nothing(home: Live, folder: Path) -> None:
    cookie, token = home.session()
    body = form(TOKEN, part("file", b"x" * 200_000, "a")).replace(b"TOKEN", token.encode())
    head = home.head(
        "POST", "/upload", body=body, origin=home.address, cookie=cookie, content_type=MULTIPART
    )
    answer = home.send(head + body[:100_000])
    assert answer.status == 408
    assert _left(folder) == []
    assert LARGE.idle_s < 1.0


def test_a_token_in_the_header_does_for_an_upload(home: Live) -> None:
    cookie, token = home.session()
    body = form(part("file", b"x", "a"))
    said = {"cookie": cookie, "origin": home.address, "content_type": MULTIPART}
    assert home.ask("POST", "/upload", body, x_form_token=token, **said).status == 200
    assert home.ask("POST", "/upload", body, x_form_token=token[::-1], **said).status == 403


def test_a_photo_is_held_in_memory(home: Live, folder: Path) -> None:
    data = os.urandom(90_000)
    told = json.loads(upload(home, form(TOKEN, part("file", data, "a.jpg")), "/photo").body)
    assert told == {"size": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    assert _left(folder) == []


def test_a_full_disk_is_told_before_anything_is_written(
    home: Live, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = type("Usage", (), {"free": 150_000_000})
    monkeypatch.setattr("shutil.disk_usage", lambda _: usage)
    answer = upload(home, form(TOKEN, part("file", b"x", "a")))
    assert answer.status == 507
    assert b"The disk has 150 MB free" in answer.body
    assert _left(folder) == []


@given(data=st.binary(max_size=3_000), cuts=st.lists(st.integers(0, 3_400), max_size=6))
def test_however_it_is_cut_the_file_is_the_same(data: bytes, cuts: list[int]) -> None:
    told = finish(_held(form(part("note", b"n"), part("file", b"." + data, "a")), cuts))
    assert told == b"." + data


async def _held(body: bytes, cuts: list[int]) -> bytes:
    from starlette.requests import Request

    from shivelight.web.bodies import hold_upload

    edges = sorted({0, len(body), *(one for one in cuts if one < len(body))})
    pieces = [body[a:b] for a, b in itertools.pairwise(edges)]

    async def receive() -> Any:
        return {"type": "http.request", "body": pieces.pop(0), "more_body": bool(pieces)}

    headers = [(b"content-type", MULTIPART.encode())]
    request = Request({"type": "http", "method": "POST", "headers": headers}, receive)
    request.state.is_token_seen = True
    return (await hold_upload(request)).data


def _until(is_so: Any, within_s: float = 5.0) -> None:
    end_s = time.monotonic() + within_s
    while not is_so():
        assert time.monotonic() < end_s
        time.sleep(0.02)
