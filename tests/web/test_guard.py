"""The guard: hosts, origins, tokens, headers and devices, over real sockets where it matters."""

import base64
import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest
from fastapi import APIRouter, Depends, FastAPI, Request
from hypothesis import given
from hypothesis import strategies as st
from starlette.routing import Mount, Route

from shivelight.web.guard import Guard, GuardRules
from shivelight.web.headers import Inline, content_policy
from shivelight.web.origins import (
    Origin,
    is_loopback,
    origin_of,
    read_host,
    read_hosts,
    read_origin,
)
from shivelight.web.tokens import (
    FormTokens,
    form_token,
    random_token,
    token_sha256,
    unguarded,
    upload_paths,
    upload_token,
)
from tests.web.live import SCRIPT, SCRIPT_HASH, SECRET, Live, finish, live, rules, small_app

NAMES = st.from_regex(r"[a-z0-9]([a-z0-9-]{0,8}[a-z0-9])?(\.[a-z0-9]{1,6}){0,3}", fullmatch=True)
V6 = st.ip_addresses(v=6).map(lambda one: f"[{one.compressed}]")
PORTS = st.integers(1, 65_535)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    with live(tmp_path_factory.mktemp("uploads")) as running:
        yield running


# Reading hosts and origins


@given(name=NAMES | V6, port=PORTS, data=st.data())
def test_a_host_is_read_in_any_case_with_its_port(
    name: str, port: int, data: st.DataObject
) -> None:
    shouted = "".join(data.draw(st.sampled_from([one, one.upper()])) for one in name)
    read = read_host(f"{shouted}:{port}")
    assert read == Origin("http", name.strip("[]"), port)
    assert read_origin(f"HTTP://{shouted}:{port}") == read
    assert read_origin(read.text) == read


@given(st.text(max_size=30))
def test_whatever_is_read_as_a_host_is_what_a_url_would_mean(text: str) -> None:
    read = read_host(text)
    if read is not None:
        parts = urlsplit(f"http://{text}")
        assert (parts.hostname, parts.port or 80) == (read.host, read.port)
        assert (parts.path, parts.query, parts.fragment, parts.username) == ("", "", "", None)


@pytest.mark.parametrize(
    "text",
    [
        "", ":8017", "localhost.", "localhost.:8017", "localhost:", "localhost:0",
        "localhost:65536", "localhost:８017", "local host", "localhost, evil.example",
        "a@localhost", "localhost/", "localhost#", "[::1", "::1", "[::1]8017", "[fe80::1%25eth0]",
        "[127.0.0.1]", "localhost:8017 ", "\tlocalhost", "..", "a..b", "localhost\x00",
    ],
)  # fmt: skip
def test_what_is_not_plainly_a_host_is_none(text: str) -> None:
    assert read_host(text) is None


@pytest.mark.parametrize(
    "text",
    ["null", "", "http://", "http://a/", "http://a?b", "http://u@a", "ftp://a", "file://", "a",
     "http://a, http://a", "http://a http://b", "https//a", "javascript:a"],
)  # fmt: skip
def test_what_is_not_plainly_an_origin_is_none(text: str) -> None:
    assert read_origin(text) is None


def test_the_port_that_is_not_written_is_the_schemes_own() -> None:
    assert read_origin("http://pinnet.example") == Origin("http", "pinnet.example", 80)
    assert read_origin("https://pinnet.example") == Origin("https", "pinnet.example", 443)
    assert read_origin("https://pinnet.example:443") == read_origin("https://pinnet.example")
    assert read_origin("http://a:80") != read_origin("https://a:80")


def test_two_ways_to_write_one_address_are_one() -> None:
    assert read_host("[0:0:0:0:0:0:0:1]:80") == read_host("[::1]")


def test_an_address_has_an_origin_and_nothing_more_counts() -> None:
    assert origin_of("http://a:8017/kit?x=http://b") == Origin("http", "a", 8017)
    assert origin_of("http://a:8017") == Origin("http", "a", 8017)
    assert origin_of("http://a@b/") is None
    assert origin_of("http://a\\@b/") is None
    assert origin_of("about:blank") is None


def test_a_wrong_host_in_the_rules_is_a_fault_that_shows_at_once(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not a host: 'a b'"):
        read_hosts(["localhost:8017", "a b"])
    app = small_app(tmp_path)
    with pytest.raises(ValueError, match="not a host"):
        Guard(app, rules(("a/b",), app))
    with pytest.raises(ValueError, match="at least 16 bytes"):
        Guard(app, GuardRules(hosts=(), secret=b"short"))


def test_loopback_is_every_inside_address_and_no_name() -> None:
    inside = ["127.0.0.1", "127.8.8.8", "::1", "::ffff:127.0.0.1"]
    assert [one for one in inside if not is_loopback(one)] == []
    outside = ["192.168.7.20", "::ffff:192.168.7.20", "0.0.0.0", "localhost", "", "testclient"]
    assert [one for one in outside if is_loopback(one)] == []


# Hosts over the wire


def test_its_own_addresses_are_answered(home: Live) -> None:
    for host in (home.host, f"localhost:{home.port}", f"LOCALHOST:{home.port}"):
        assert home.ask("GET", "/", host=host).status == 200


def test_a_name_that_was_turned_to_this_machine_is_refused(home: Live) -> None:
    """DNS rebinding: the browser asks us, but for a page of another site."""
    for host in (
        f"evil.example:{home.port}", "127.0.0.1", f"127.0.0.1:{home.port + 1}", "localhost.",
        f"localhost.:{home.port}", f"[::1]:{home.port}", f"0.0.0.0:{home.port}",
        f"127.1:{home.port}", f"{home.host}@evil.example", f"evil.example#{home.host}",
    ):  # fmt: skip
        answer = home.ask("GET", "/", host=host)
        assert (answer.status, "set-cookie" in answer.headers) == (421, False), host
        assert b"form_token" not in answer.body


def test_a_request_without_a_host_gets_no_page(home: Live) -> None:
    assert home.send(b"GET / HTTP/1.0\r\n\r\n").status == 421
    assert home.send(b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n").status == 400


def test_two_hosts_get_no_page(home: Live) -> None:
    both = f"GET / HTTP/1.1\r\nHost: {home.host}\r\nHost: evil.example\r\n\r\n".encode()
    assert home.send(both).status == 400
    scope = _scope(home, headers=[(b"host", home.host.encode())] * 2)
    assert finish(_status(home.app, scope, hosts=(home.host,))) == 421


def test_a_request_as_to_a_proxy_gets_no_page(home: Live) -> None:
    assert home.ask("GET", f"http://{home.host}/").status == 421
    assert home.ask("GET", "http://evil.example/").status == 421
    assert home.ask("OPTIONS", "*").status == 421


def test_a_method_that_nobody_needs_is_refused(home: Live) -> None:
    assert home.ask("TRACE", "/").status == 405
    assert home.ask("OPTIONS", "/").status == 405


def test_a_web_socket_is_closed() -> None:
    sent: list[Any] = []

    async def receive() -> Any:
        return {"type": "websocket.connect"}

    async def send(message: Any) -> None:
        sent.append(message)

    async def app(scope: Any, receive: Any, send: Any) -> None:
        raise AssertionError("the app was asked")

    guard = Guard(app, GuardRules(hosts=("a",), secret=SECRET))
    finish(guard({"type": "websocket", "path": "/", "headers": []}, receive, send))
    assert sent == [{"type": "websocket.close", "code": 1008}]


# Origins over the wire


def _post(home: Live, **headers: str) -> int:
    cookie, token = home.session()
    body = f"word=fern&form_token={token}".encode()
    form = {"content_type": "application/x-www-form-urlencoded", "cookie": cookie}
    return home.ask("POST", "/write", body, **(form | headers)).status


def test_a_form_of_our_own_is_taken(home: Live) -> None:
    assert _post(home, origin=home.address) == 200
    assert _post(home, origin=home.address, sec_fetch_site="same-origin") == 200
    assert _post(home, sec_fetch_site="same-origin") == 200
    assert _post(home, referer=f"{home.address}/kit") == 200


def test_a_form_of_another_site_is_refused_even_with_the_token(home: Live) -> None:
    before = len(home.app.state.written)
    other = f"http://localhost:{home.port}"  # allowed as a host, and yet another origin
    for headers in (
        {}, {"origin": "null"}, {"origin": "http://evil.example"}, {"origin": other},
        {"origin": f"https://{home.host}"}, {"origin": f"http://127.0.0.1:{home.port + 1}"},
        {"origin": f"{home.address}.evil.example"}, {"origin": f"{home.address}/"},
        {"origin": home.address, "sec_fetch_site": "cross-site"},
        {"sec_fetch_site": "cross-site"}, {"sec_fetch_site": "same-site"},
        {"sec_fetch_site": "cross-site", "referer": f"{home.address}/"},
        {"referer": "http://evil.example/"}, {"referer": f"{home.address}@evil.example/"},
        {"origin": "null", "referer": f"{home.address}/"},
    ):  # fmt: skip
        assert _post(home, **headers) == 403, headers
    assert len(home.app.state.written) == before


def test_another_site_may_not_draw_on_a_page(home: Live) -> None:
    for dest, mode in (("image", "no-cors"), ("script", "no-cors"), ("iframe", "navigate")):
        answer = home.ask(
            "GET", "/", sec_fetch_site="cross-site", sec_fetch_mode=mode, sec_fetch_dest=dest
        )
        assert (answer.status, "set-cookie" in answer.headers) == (403, False)


def test_a_link_from_another_site_starts_afresh_and_leaves_the_cookie(home: Live) -> None:
    answer = home.ask(
        "GET", "/pair?code=AB%20C", sec_fetch_site="cross-site", sec_fetch_mode="navigate",
        sec_fetch_dest="document",
    )  # fmt: skip
    assert answer.status == 200
    assert answer.headers["refresh"] == f"0; url={home.address}/pair?code=AB%20C"
    assert "set-cookie" not in answer.headers
    assert b"<title>pair</title>" not in answer.body


# Form tokens


def test_a_form_needs_the_token_of_its_session(home: Live) -> None:
    cookie, token = home.session()
    other_cookie, other = home.session()
    form = {"content_type": "application/x-www-form-urlencoded", "origin": home.address}
    for held, body in (
        (cookie, "word=a"), (cookie, "word=a&form_token="), (cookie, f"word=a&form_token={other}"),
        (other_cookie, f"word=a&form_token={token}"), ("", f"word=a&form_token={token}"),
        (cookie, f"word=a&form_token={token[:-1]}"), (cookie, f"word=a&form_token={token}0"),
        (cookie, "word=a&form_token=%ff%00"), (f"x{cookie}", f"word=a&form_token={token}"),
    ):  # fmt: skip
        answer = home.ask("POST", "/write", body.encode(), cookie=held, **form)
        assert answer.status == 403, (held, body)
        assert b"load the page again" in answer.body
    assert (
        home.ask("POST", "/write", b"word=a", cookie=cookie, x_form_token=token, **form).status
        == 200
    )
    wrong = home.ask(
        "POST", "/write", f"word=a&form_token={token}".encode(), cookie=cookie,
        x_form_token=other, **form,
    )  # fmt: skip
    assert wrong.status == 403


def test_the_cookie_is_random_and_no_script_or_other_site_has_it(home: Live) -> None:
    said = [home.ask("GET", "/").headers["set-cookie"] for _ in range(3)]
    values = {one.split(";")[0].removeprefix("shivelight=") for one in said}
    assert len(values) == 3
    assert all(len(base64.urlsafe_b64decode(one + "=")) == 32 for one in values)
    assert {one.partition("; ")[2] for one in said} == {"Path=/; HttpOnly; SameSite=Strict"}


def test_the_cookie_is_set_once_and_not_with_files(home: Live) -> None:
    cookie, _ = home.session()
    assert "set-cookie" not in home.ask("GET", "/", cookie=cookie).headers
    assert "set-cookie" not in home.ask("GET", "/", cookie=f"theme=dim; {cookie}").headers
    assert "set-cookie" not in home.ask("GET", "/static/a.css").headers
    assert "set-cookie" in home.ask("GET", "/", cookie="shivelight=chosen").headers


@given(session=st.text(), other=st.text(), given_token=st.text())
def test_a_token_fits_its_own_session_and_secret_alone(
    session: str, other: str, given_token: str
) -> None:
    tokens = FormTokens(SECRET)
    plain_session, plain_other = session.encode().hex(), other.encode().hex()
    token = tokens.token(plain_session)
    assert tokens.check_token(plain_session, token)
    assert tokens.check_token(plain_other, token) == (plain_other == plain_session)
    assert not FormTokens(SECRET + b".").check_token(plain_session, token)
    assert tokens.check_token(plain_session, given_token) == (given_token == token)


async def _nothing(request: Request) -> None:
    del request


def test_a_route_that_writes_without_a_token_is_found_wherever_it_is() -> None:
    app, room, inner = FastAPI(), APIRouter(prefix="/room"), APIRouter(prefix="/inner")
    room.add_api_route("/good", _nothing, methods=["POST"], dependencies=[Depends(form_token)])
    room.add_api_route("/bad", _nothing, methods=["POST", "GET"])
    inner.add_api_route("/bad", _nothing, methods=["DELETE"])
    inner.add_api_route("/{a}/up", _nothing, methods=["PUT"], dependencies=[Depends(upload_token)])
    room.include_router(inner)
    app.include_router(room)
    app.add_api_route("/read", _nothing, methods=["GET", "HEAD"])
    app.router.routes.append(Route("/plain", _nothing, methods=["PATCH"]))
    app.router.routes.append(Mount("/hung", routes=[Route("/in", _nothing, methods=["POST"])]))
    assert sorted(unguarded(app.routes)) == [
        "DELETE /room/inner/bad", "PATCH /plain", "POST /in", "POST /room/bad",
    ]  # fmt: skip
    paths = upload_paths(app.routes)
    assert [bool(one.fullmatch("/room/inner/x/up")) for one in paths] == [True]
    assert [bool(one.fullmatch("/room/inner/x/y/up")) for one in paths] == [False]


def test_a_token_that_the_whole_router_asks_for_counts() -> None:
    app, room = FastAPI(), APIRouter()
    room.add_api_route("/write", _nothing, methods=["POST"])
    app.include_router(room, dependencies=[Depends(form_token)])
    assert unguarded(app.routes) == []


def test_every_route_of_the_app_that_writes_asks_for_a_token() -> None:
    from shivelight.web.app import build_app
    from shivelight.web.house import House
    from shivelight.workbench.settings import Settings

    routes = build_app(House(settings=Settings(), secret=SECRET)).routes
    assert unguarded(routes) == []


# Headers


def test_every_answer_carries_the_headers(home: Live) -> None:
    pages = [
        home.ask("GET", "/"), home.ask("GET", "/none"), home.ask("GET", "/static/a.css"),
        home.ask("GET", "/", host="evil.example"), home.ask("POST", "/write"),
        home.ask("POST", "/write", b"x" * 30_000, origin=home.address),
    ]  # fmt: skip
    assert [page.status for page in pages] == [200, 404, 200, 421, 403, 413]
    for page in pages:
        policy = page.headers["content-security-policy"]
        assert policy == content_policy()
        assert "unsafe" not in policy
        assert page.headers["x-content-type-options"] == "nosniff"
        assert page.headers["referrer-policy"] == "same-origin"
        assert page.headers["x-frame-options"] == "DENY"
        assert page.headers["cross-origin-opener-policy"] == "same-origin"
        assert page.headers["cross-origin-resource-policy"] == "same-origin"
        assert "camera=()" in page.headers["permissions-policy"]
        assert "server" not in page.headers


def test_pages_are_not_kept_and_hashed_files_are(home: Live) -> None:
    kept = {
        "/": "no-store", "/none": "no-store", "/static/kit.css": "no-cache",
        "/static/kit.0123456789ab.css": "public, max-age=31536000, immutable",
    }  # fmt: skip
    said = {path: home.ask("GET", path).headers["cache-control"] for path in kept}
    assert said == kept


def test_a_page_may_name_the_hash_of_its_script_and_no_policy_of_its_own(home: Live) -> None:
    assert (
        f"sha256-{base64.b64encode(hashlib.sha256(SCRIPT.encode()).digest()).decode()}"
        == SCRIPT_HASH
    )
    policy = home.ask("GET", "/sheet").headers["content-security-policy"]
    assert f"script-src 'self' '{SCRIPT_HASH}';" in policy
    assert "unsafe" not in home.ask("GET", "/bare-script").headers["content-security-policy"]
    for wrong in (
        "unsafe-inline",
        "'unsafe-inline'",
        "sha256-a",
        f"{SCRIPT_HASH}' 'unsafe-inline",
    ):
        with pytest.raises(ValueError, match="not a hash"):
            Inline(scripts=(wrong,))


def test_a_refusal_is_a_page_or_json(home: Live) -> None:
    page = home.ask("GET", "/", host="evil.example", accept="text/html")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert b'content="dark"' in page.body
    told = home.ask("GET", "/", host="evil.example", accept="application/json")
    assert told.headers["content-type"] == "application/json"
    assert httpx.Response(200, content=told.body).json()["error"]["status"] == 421
    assert home.ask("HEAD", "/", host="evil.example").body == b""


# Devices


def _scope(home: Live, **more: Any) -> dict[str, Any]:
    made = {"type": "http", "method": "GET", "path": "/", "raw_path": b"/", "scheme": "http",
            "query_string": b"", "client": ("127.0.0.1", 1), "http_version": "1.1",
            "headers": [(b"host", home.host.encode())]}  # fmt: skip
    return made | more


async def _status(app: FastAPI, scope: dict[str, Any], **more: Any) -> int:
    sent: list[Any] = []

    async def receive() -> Any:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    hosts = more.pop("hosts")
    await Guard(app, rules(hosts, app, **more))(scope, receive, send)
    return int(sent[0]["status"])


def _from(
    client: str,
    app: FastAPI,
    method: str = "GET",
    path: str = "/",
    *,
    headers: Any = None,
    **more: Any,
) -> httpx.Response:
    host = "192.168.7.20:8017"

    async def ask() -> httpx.Response:
        guard = Guard(app, rules((host, "127.0.0.1:8017"), app, **more))
        transport = httpx.ASGITransport(app=guard, client=(client, 50_000))
        async with httpx.AsyncClient(transport=transport, base_url=f"http://{host}") as asker:
            return await asker.request(method, path, headers=headers or {})

    return finish(ask())


def test_nobody_else_is_answered_unless_the_home_network_is_let_in(tmp_path: Path) -> None:
    app = small_app(tmp_path)
    for client in ("192.168.7.31", "10.0.0.1", "::ffff:192.168.7.31", "fd00::7", ""):
        assert _from(client, app, path="/static/a.css").status_code == 403
    assert _from("127.0.0.1", app).status_code == 200
    assert _from("::1", app).status_code == 200


def test_a_device_that_is_not_paired_sees_only_where_it_is_paired(tmp_path: Path) -> None:
    app = small_app(tmp_path)
    seen = _from("192.168.7.31", app, home_network=True, headers={"accept": "text/html"})
    assert (seen.status_code, seen.headers["location"]) == (303, "/pair")
    for method, path in (("POST", "/write"), ("POST", "/upload"), ("PUT", "/"), ("DELETE", "/")):
        own = {"origin": "http://192.168.7.20:8017"}
        answer = _from("192.168.7.31", app, method, path, home_network=True, headers=own)
        assert answer.status_code == 403
    for path in ("/pair/..", "/pairs", "/pair/x", "/static", "/themes", "/sheet"):
        assert _from("192.168.7.31", app, path=path, home_network=True).status_code == 303
    for path in ("/pair", "/static/a.css"):
        assert _from("192.168.7.31", app, path=path, home_network=True).status_code == 200
    told = _from("192.168.7.31", app, home_network=True, headers={"accept": "application/json"})
    assert told.status_code == 403


def test_a_paired_device_is_let_in_by_the_hash_of_its_token(tmp_path: Path) -> None:
    app = small_app(tmp_path)
    token, other = random_token(), random_token()
    asked: list[str] = []

    def is_paired(sha256: str) -> bool:
        asked.append(sha256)
        return sha256 == hashlib.sha256(token.encode()).hexdigest()

    def status(cookie: str, path: str = "/") -> int:
        answer = _from(
            "192.168.7.31", app, path=path, headers={"cookie": cookie, "accept": "text/html"},
            home_network=True, is_paired=is_paired,
        )  # fmt: skip
        return answer.status_code

    assert status(f"shivelight-device={token}") == 200
    assert status(f"a=b; shivelight-device={token}; c=d") == 200
    assert status(f"shivelight-device={other}") == 303
    assert status("shivelight-device=short") == 303
    assert status(f"shivelight={token}") == 303
    assert status(f"shivelight-device={token_sha256(token)}") == 303
    assert token not in asked
    before = len(asked)
    assert status(f"shivelight-device={token}", "/static/a.css") == 200
    assert len(asked) == before
