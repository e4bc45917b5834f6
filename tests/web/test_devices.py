"""Devices: pairing over the home network, what an unpaired one gets, and being forgotten."""

import re

import pytest

from shivelight.web.pairing import MOST_WRONG, Pairing, plain
from shivelight.web.tokens import DEVICE, token_sha256
from shivelight.workbench.demo import demo_now
from tests.web.phone import NEAR, Phone, paired_phone
from tests.web.visitor import Visitor


@pytest.fixture
def open_house(valley: Visitor) -> Visitor:
    """Visit a house that lets devices in."""
    valley.house.pairing = Pairing(NEAR)
    return valley


def test_this_machine_shows_the_code_the_address_and_a_picture_of_them(
    open_house: Visitor,
) -> None:
    page = open_house.get("/devices").text
    said = open_house.json("/devices")
    assert plain(said["code"]) == open_house.house.pairing.code
    assert said["code"] in page
    assert f"{NEAR}/pair" in page
    assert '<svg class="qr" role="img"' in page
    assert "plain HTTP on your own network" in page
    assert said["devices"] == []


def test_without_the_home_network_it_says_how_to_let_devices_in(valley: Visitor) -> None:
    said = valley.json("/devices")
    assert said["code"] == ""
    assert said["how"] == "shivelight open --home-network"
    assert said["how"] in valley.get("/devices").text
    assert "for its own machine alone" in valley.get("/pair").text
    assert valley.post("/pair", code="ABCDEFGH", name="x").status_code == 409


def test_a_phone_is_sent_to_the_pairing_page_and_let_in_with_the_code(
    open_house: Visitor,
) -> None:
    phone = Phone(open_house.house)
    sent_away = phone.get("/log")
    assert sent_away.url.path == "/pair"
    assert 'class="leaf title pairing"' in sent_away.text
    answer = phone.post("/pair", code=open_house.house.pairing.code.lower(), name="Orla's phone")
    assert answer.url.path == "/evening"
    assert "is let in from now on" in answer.text
    assert phone.get("/log").url.path == "/log"
    token = phone.client.cookies[DEVICE]
    with open_house.house.bench() as bench:
        assert [(one.name, one.token_sha256) for one in bench.devices()] == [
            ("Orla's phone", token_sha256(token))
        ]


def test_the_code_of_the_picture_is_filled_in(open_house: Visitor) -> None:
    page = Phone(open_house.house).get("/pair", code="ABCD2345").text
    assert re.search(r'name="code" value="ABCD2345"', page)


def test_a_wrong_code_is_refused_beside_its_box_and_at_last_renewed(open_house: Visitor) -> None:
    phone, pairing = Phone(open_house.house), open_house.house.pairing
    code = pairing.code
    wrong = phone.post("/pair", code="22222222", name="Orla's phone")
    assert wrong.status_code == 403
    assert "That is not the code on the screen" in wrong.text
    assert "Orla&#39;s phone" in wrong.text
    for _ in range(MOST_WRONG - 1):
        wrong = phone.post("/pair", code="22222222", name="Orla's phone")
    assert "That code is no longer good" in wrong.text
    assert pairing.code != code
    assert phone.post("/pair", code=code, name="Orla's phone").status_code == 403
    assert phone.get("/log").url.path == "/pair"


def test_too_many_tries_have_to_wait(open_house: Visitor) -> None:
    phone = Phone(open_house.house)
    tried = [phone.post("/pair", code="22222222", name="x").status_code for _ in range(12)]
    assert tried[:10] == [403] * 10
    assert tried[10:] == [429, 429]


def test_a_name_that_will_not_do_does_not_use_the_code_up(open_house: Visitor) -> None:
    phone, code = Phone(open_house.house), open_house.house.pairing.code
    refused = phone.post("/pair", code=code, name="x" * 61)
    assert refused.status_code == 422
    assert "61 letters; 60 is the most" in refused.text
    assert phone.post("/pair", code=code, name="").status_code == 200
    with open_house.house.bench() as bench:
        assert bench.devices()[0].name == "Device of 2 November"


def test_a_forgotten_phone_is_out_and_that_cannot_be_undone(open_house: Visitor) -> None:
    phone = paired_phone(open_house.house)
    listed = open_house.json("/devices")["devices"]
    assert [one["name"] for one in listed] == ["Orla's phone"]
    assert listed[0]["seen"] == "Tue 2 Nov 21:40"
    gone = open_house.post("/devices/forget", number=listed[0]["number"])
    assert "is let in no more. This cannot be undone" in gone.text
    assert '<button class="btn">Undo</button>' not in gone.text
    assert phone.get("/log").url.path == "/pair"


@pytest.mark.parametrize(("number", "status"), [("7", 404), ("one", 422), ("", 422)])
def test_a_device_that_is_not_there_cannot_be_forgotten(
    open_house: Visitor, number: str, status: int
) -> None:
    assert open_house.post("/devices/forget", number=number).status_code == status


def test_a_paired_phone_neither_sees_nor_forgets_devices(open_house: Visitor) -> None:
    phone = paired_phone(open_house.house)
    page = phone.get("/devices")
    assert page.status_code == 404
    assert "on the machine that shivelight runs on, and on no other" in page.text
    assert open_house.house.pairing.code not in page.text
    assert phone.post("/devices/forget", number="1").status_code == 404
    assert "let in already" in phone.get("/pair").text
    assert "needs no code" in open_house.get("/pair").text


def test_devices_are_those_of_one_s_own_book_in_the_demo_too(open_house: Visitor) -> None:
    phone = paired_phone(open_house.house)
    own = open_house.house.settings.book_path
    open_house.house.visit_demo(own.with_name("wennick-demo.sqlite"), demo_now())
    assert [one["name"] for one in open_house.json("/devices")["devices"]] == ["Orla's phone"]
    assert phone.get("/log").url.path == "/log"
