"""A phone that visits the pages over the home network."""

from typing import Any

import httpx2 as httpx
from starlette.testclient import TestClient

from shivelight.web.guard import Guard, GuardRules
from shivelight.web.house import House
from shivelight.web.own import own_bench
from shivelight.web.pairing import Pairing
from shivelight.web.tokens import SESSION, FormTokens
from tests.web.visitor import SECRET, Visitor

NEAR = "http://192.168.7.20:8017"


class Phone(Visitor):
    """A visitor over the home network, paired or not."""

    def __init__(self, house: House) -> None:
        super().__init__(house)
        rules = GuardRules(
            hosts=("192.168.7.20:8017",), secret=SECRET, home_network=True, is_paired=self._known
        )
        self.client = TestClient(
            Guard(self.app, rules),
            base_url=NEAR,
            client=("192.168.7.33", 50_000),
            follow_redirects=True,
            raise_server_exceptions=False,
        )

    def post(self, path: str, *, files: Any = None, **boxes: Any) -> httpx.Response:
        """Send a form from the address that the phone sees."""
        typed = {name: str(text) for name, text in boxes.items()}
        return self.client.post(
            path,
            data={"form_token": self.token, **typed},
            files=files,
            headers={"Origin": NEAR},
        )

    @property
    def token(self) -> str:
        """Form token of this visit."""
        if SESSION not in self.client.cookies:
            self.client.get("/pair")
        return FormTokens(SECRET).token(self.client.cookies[SESSION])

    def _known(self, sha256: str) -> bool:
        with own_bench(self.house) as bench:
            return bench.device_with(sha256) is not None


def paired_phone(house: House) -> Phone:
    """Pair a phone with a house, which lets devices in from then on."""
    house.pairing = house.pairing or Pairing(NEAR)
    phone = Phone(house)
    answer = phone.post("/pair", code=house.pairing.code, name="Orla's phone")
    assert answer.status_code == 200, answer.text
    return phone
