"""Devices that were let in with a pairing code; the book knows fingerprints of their tokens."""

from dataclasses import replace

import numpy as np

from shivelight.outing.devices import Device
from shivelight.store import devices as device_rows
from shivelight.workbench.desk import Desk

SEEN_EVERY = np.timedelta64(1, "m")
"""How often it is written down that a device came: a page asks many times a second."""


class DeviceDesk(Desk):
    """Which devices may come in over the home network."""

    def pair_device(self, name: str, token_sha256: str) -> Device:
        """Let a device in.

        Parameters
        ----------
        name : str
            What the person calls it.
        token_sha256 : str
            Fingerprint of the token that the device was given, 64 hexadecimal digits.

        Raises
        ------
        BadInputError
            If the name is empty, or a device with this token is there already.
        """
        device = Device(
            name=name,
            token_sha256=token_sha256,
            paired_utc=self.now_utc,
            last_seen_utc=self.now_utc,
        )
        return device_rows.add(self.book, device)

    def device_with(self, token_sha256: str) -> Device | None:
        """Device that holds a token, noting that it came; None when none does."""
        device = device_rows.with_token(self.book, token_sha256)
        if device is None or self.now_utc - device.last_seen_utc < SEEN_EVERY:
            return device
        device_rows.saw(self.book, device.id, self.now_utc)
        return replace(device, last_seen_utc=self.now_utc)

    def devices(self) -> tuple[Device, ...]:
        """Every device that may come in, first paired first."""
        return device_rows.every(self.book)

    def forget_device(self, number: int) -> None:
        """Let a device in no more; to come again it has to be paired again."""
        device_rows.remove(self.book, number)
