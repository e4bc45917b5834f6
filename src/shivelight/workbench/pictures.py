"""Photographs of spots: kept unchanged beside the book, shown as copies without their facts."""

import datetime as dt
import hashlib
import logging
from pathlib import Path

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    OutOfRangeError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.outing.pictures import ENDINGS, PhotoFacts, Picture, SpotDraft
from shivelight.outing.woods import Wood
from shivelight.store import pictures as picture_rows
from shivelight.store import woods as wood_rows
from shivelight.store.backup import put_in_place, temporary_beside
from shivelight.workbench.woods import FAR_FROM_WOOD_M, WoodDesk, inside

SIDES_PX = (320, 960, 1600)
"""Long sides of the small copies; no others are made, so that their number stays bounded."""

_log = logging.getLogger(__name__)
LENS_OF_THE_CAMERA = "The lens is that of the camera that took this; give the one you mean to use."
WOOD_GUESSED = "The wood is a guess:"


class PictureDesk(WoodDesk):
    """Pictures and the spots that they show."""

    def photo_facts(self, data: bytes) -> PhotoFacts:
        """Say what a photograph's file tells of itself; nothing is kept.

        Raises
        ------
        UnreadableFileError, OutOfRangeError
            If it is no photograph that can be read here, or too large.
        """
        from shivelight.intake.photo import read_photo  # noqa: PLC0415  loads Pillow

        return read_photo(data)

    def keep_picture(self, data: bytes, *, spot: str | None = None, caption: str = "") -> Picture:
        """Keep a photograph, byte for byte; the same bytes again give the row that is there.

        Parameters
        ----------
        data : bytes
            The whole file.
        spot : str, optional
            The spot it belongs to. A picture that belongs to one already stays there.
        caption : str
            In words.

        Raises
        ------
        UnreadableFileError, OutOfRangeError
            If it cannot be read or shown, being damaged, cut short or too large.
        NotFoundError
            If the book has no such spot.
        UnwritableError
            If the folder beside the book cannot be written.
        """
        facts = self.photo_facts(data)
        owner = self.spot(spot).name if spot else ""
        sha256 = hashlib.sha256(data).hexdigest()
        known = picture_rows.with_sha256(self.book, sha256)
        name = known.file_name if known else f"{sha256}.{ENDINGS[facts.kind]}"
        if known is None or not (self._pictures_folder / name).exists():
            shown = _small_copy(data, SIDES_PX[0])  # refuses what could never be shown
            self._write(name, data)
            self._write(_copy_name(sha256, SIDES_PX[0]), shown)
        if known is not None:
            give = owner and not known.spot
            return picture_rows.give_to(self.book, known.id, owner) if give else known
        picture = Picture(
            sha256=sha256,
            file_name=name,
            byte_count=len(data),
            width_px=facts.width_px,
            height_px=facts.height_px,
            kept_utc=self.now_utc,
            spot=owner,
            taken=facts.taken,
            taken_offset_min=facts.taken_offset_min,
            latitude_deg=facts.latitude_deg,
            longitude_deg=facts.longitude_deg,
            direction_deg=facts.direction_deg,
            direction_is_magnetic=facts.direction_is_magnetic,
            focal_length_mm=facts.focal_length_mm,
            caption=caption,
        )
        return picture_rows.add(self.book, picture)

    def pictures_of(self, spot: str) -> tuple[Picture, ...]:
        """Pictures of a spot in the order in which they were kept."""
        return picture_rows.of_spot(self.book, self.spot(spot).name)

    def pictures_of_no_spot(self) -> tuple[Picture, ...]:
        """Pictures that belong to no spot (yet, or any more)."""
        return picture_rows.of_spot(self.book, "")

    def picture(self, number: int) -> Picture:
        """One picture by its number."""
        return picture_rows.get(self.book, number)

    def picture_bytes(self, number: int, side_px: int) -> bytes:
        """Small upright JPEG of a picture without place, time or any other fact in it.

        Parameters
        ----------
        number : int
            Which picture.
        side_px : int
            Long side, one of :data:`SIDES_PX`.

        Raises
        ------
        NotFoundError
            If the book has no such picture.
        MissingDataError
            If its file is not beside the book.
        UnreadableFileError
            If the file is not the one that was kept.
        """
        if side_px not in SIDES_PX:
            sides = ", ".join(map(str, SIDES_PX))
            raise BadInputError(f"Pictures are shown {sides} px long, not {side_px}.")
        picture = self.picture(number)
        made = self._pictures_folder / _copy_name(picture.sha256, side_px)
        try:
            return made.read_bytes()
        except OSError:
            copy = _small_copy(self._original(picture), side_px)
        try:
            self._write(made.name, copy)
        except UnwritableError as why:  # on a disk that is full or read-only it is still shown
            _log.warning("%s", why)
        return copy

    def give_picture(self, number: int, spot: str) -> Picture:
        """Say which spot a picture belongs to."""
        return picture_rows.give_to(self.book, number, self.spot(spot).name)

    def forget_picture(self, number: int) -> Picture:
        """Take a picture from its spot; its file and what is known of it stay."""
        return picture_rows.give_to(self.book, number, "")

    def spot_from_photo(self, data: bytes) -> SpotDraft:
        """Keep a photograph and suggest the spot that it was taken from.

        Raises
        ------
        UnreadableFileError, OutOfRangeError, UnwritableError
            As :meth:`keep_picture`.
        """
        facts = self.photo_facts(data)
        picture = self.keep_picture(data)
        sentences = [*facts.notes]
        wood = self._wood_at(facts.position, sentences)
        azimuth_deg = _true_direction_deg(facts, self.today(), sentences)
        if facts.position is not None:
            sentences.append(_how_far_out(facts))
        if facts.focal_length_mm is not None:
            sentences.append(LENS_OF_THE_CAMERA)
        return SpotDraft(
            picture=picture,
            wood=wood,
            position=facts.position,
            view_azimuth_deg=azimuth_deg,
            focal_length_mm=facts.focal_length_mm,
            sensor_width_mm=facts.sensor_width_mm,
            taken=facts.taken,
            sentences=tuple(sentences),
        )

    def _wood_at(self, position: Position | None, sentences: list[str]) -> str:
        """Wood whose outline holds a place, or else whose parking place is nearest to it."""
        if position is None:
            return ""
        woods = wood_rows.every(self.book)
        holding = [wood for wood in woods if wood.outline and inside(wood.outline, position)]
        if len(holding) == 1:
            return holding[0].name
        away_m = {
            wood.name: distance_and_azimuth(wood.parking, position)[0] for wood in holding or woods
        }
        if not away_m:
            sentences.append("The book holds no wood yet; make the one that it was taken in.")
            return ""
        nearest = min(away_m, key=lambda name: away_m[name])
        if not holding and away_m[nearest] > FAR_FROM_WOOD_M:
            sentences.append(
                f"It was taken in none of the woods in the book; {nearest} is nearest, "
                f"{away_m[nearest] / 1000:.1f} km from its parking place."
            )
            return ""
        outside = (
            "" if holding or not _has_outline(woods, nearest) else " It lies outside its outline."
        )
        sentences.append(
            f"{WOOD_GUESSED} {nearest} has the nearest parking place, "
            f"{round(away_m[nearest], -1):.0f} m away.{outside}"
        )
        return nearest

    @property
    def _pictures_folder(self) -> Path:
        path = self.book.path
        return path.with_name(f"{path.stem}-pictures")

    def _original(self, picture: Picture) -> bytes:
        folder = self._pictures_folder
        try:
            data = (folder / picture.file_name).read_bytes()
        except OSError as why:
            raise MissingDataError(
                f"The file of picture {picture.id} is not in {folder.name}; copy that folder "
                "beside the field book, or keep the photograph again."
            ) from why
        if hashlib.sha256(data).hexdigest() != picture.sha256:
            raise UnreadableFileError(
                f"The file of picture {picture.id} in {folder.name} has changed since it was "
                "kept; put a copy of the photograph in its place."
            )
        return data

    def _write(self, name: str, data: bytes) -> None:
        """Write a file into the folder of pictures, there whole or not at all."""
        folder = self._pictures_folder
        try:
            folder.mkdir(mode=0o700, exist_ok=True)  # as private as the book
        except OSError as why:
            raise UnwritableError(f"The folder {folder} cannot be made: {why.strerror}.") from why
        temporary = temporary_beside(folder / name)
        try:
            temporary.write_bytes(data)
            put_in_place(temporary, folder / name, overwrite=True)
        except OSError as why:
            raise UnwritableError(
                f"{folder / name} cannot be written ({why.strerror}); nothing was changed."
            ) from why
        finally:
            temporary.unlink(missing_ok=True)


def _has_outline(woods: tuple[Wood, ...], name: str) -> bool:
    return any(wood.outline for wood in woods if wood.name == name)


def _small_copy(data: bytes, side_px: int) -> bytes:
    from shivelight.intake.photo import small_copy  # noqa: PLC0415  loads Pillow

    return small_copy(data, side_px)


def _copy_name(sha256: str, side_px: int) -> str:
    return f"{sha256}-{side_px}.jpg"


def _true_direction_deg(facts: PhotoFacts, today: dt.date, sentences: list[str]) -> float | None:
    """Work out the true bearing of the view, where the file tells from which north it counts."""
    from shivelight.land.bearings import true_from_magnetic  # noqa: PLC0415  loads the compiler

    if facts.direction_deg is None or facts.direction_is_magnetic is None:
        return None
    if not facts.direction_is_magnetic:
        return facts.direction_deg
    if facts.position is None:
        sentences.append(
            f"Its direction, {facts.direction_deg:.0f}°, is from magnetic north, and without a "
            "place it cannot be turned to true north."
        )
        return None
    day = facts.taken.date() if facts.taken is not None else today
    try:
        return float(true_from_magnetic(facts.direction_deg, position=facts.position, day=day))
    except OutOfRangeError as why:
        sentences.append(
            f"Its direction, {facts.direction_deg:.0f}°, is from magnetic north and cannot be "
            f"turned to true north: {why}"
        )
        return None


def _how_far_out(facts: PhotoFacts) -> str:
    """Say how far a fix under trees may be from where the camera stood.

    References
    ----------
    .. [1] doi:10.1093/forestry/cpw031: 5.0 to 11.5 m (root mean square) in
       leaf, 4.5 to 6.7 m out of it. How far the compass is out is common practice.
    """
    known = (
        f"The camera took its fix to be good to {facts.fix_error_m:.0f} m, but under"
        if facts.fix_error_m is not None
        else "Under"
    )
    return (
        f"{known} trees a phone's fix is commonly 5 to 11 m out, and its compass 10° or more near "
        "metal (common practice): stand at the spot and mark it, or read the bearing again."
    )
