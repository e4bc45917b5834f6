"""The spot that a photograph suggests: for a page that is loaded again, or made at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shivelight.basis.errors import BadInputError
from shivelight.outing.pictures import Picture, SpotDraft
from shivelight.outing.spots import Spot
from shivelight.workbench.fields.spots import gathered
from shivelight.workbench.pictures import LENS_OF_THE_CAMERA, WOOD_GUESSED, PictureDesk

LENS = "focal length and sensor"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotFromPhoto:
    """A spot that was made from a photograph.

    Attributes
    ----------
    spot : Spot
        As it is in the book.
    picture : Picture
        The photograph, kept for it.
    taken : tuple of str
        What came from the photograph because it was not typed, in words.
    sentences : tuple of str
        What the photograph could not tell, and how far out the rest may be.
    """

    spot: Spot
    picture: Picture
    taken: tuple[str, ...]
    sentences: tuple[str, ...]


class DraftDesk(PictureDesk):
    """Spots half made."""

    def spot_draft(self, number: int) -> SpotDraft:
        """Suggest a spot from a picture of the book; see :meth:`spot_from_photo`.

        Parameters
        ----------
        number : int
            Which picture.

        Raises
        ------
        NotFoundError
            If the book has no such picture.
        MissingDataError
            If its file is not beside the book.
        UnreadableFileError
            If the file is not the one that was kept.
        """
        return self.spot_from_photo(self._original(self.picture(number)))

    def add_spot_from_photo(
        self, data: bytes, *, name: str, wood: str | None = None, typed: Mapping[str, Any]
    ) -> SpotFromPhoto:
        """Make a spot of what was typed and, for the rest, of what a photograph tells.

        Parameters
        ----------
        data : bytes
            The photograph's file.
        name : str
            What the spot is called.
        wood : str, optional
            The wood it is in; the one that the photograph suggests when not said.
        typed : mapping
            Values under the keys of the fields of a spot, and ``wishes``.

        Raises
        ------
        BadInputError
            If neither says where it is, which way it looks or in which wood; or as
            :meth:`add_spot`. Nothing is noted then.
        UnreadableFileError, OutOfRangeError, UnwritableError
            As :meth:`keep_picture`.
        """
        values = dict(typed)
        with self.book.writing():
            draft = self.spot_from_photo(data)
            taken = _filled(values, draft)
            if wood is None and draft.wood:
                taken = (f"wood {draft.wood}", *taken)
            _refuse_without(values, wood or draft.wood)
            spot = self.add_spot(
                Spot(name=name, wood=wood or draft.wood, **gathered(values, None))
            )
            picture, given = self._given(draft.picture, spot)
        said = [one for one in draft.sentences if not _is_answered(one, taken, wood)]
        if "focal_length_mm" not in values:
            said.append(
                f"Its lens is not taken over; {spot.focal_length_mm:g} mm is, until you say."
            )
        return SpotFromPhoto(spot=spot, picture=picture, taken=taken, sentences=(*said, *given))

    def _given(self, picture: Picture, spot: Spot) -> tuple[Picture, tuple[str, ...]]:
        """Give a picture to a spot, unless it is another's."""
        if not picture.spot:
            return self.give_picture(picture.id, spot.name), ()
        return picture, (f"The photograph was kept for {picture.spot} before, and stays there.",)


def _filled(values: dict[str, Any], draft: SpotDraft) -> tuple[str, ...]:
    """Fill what was not typed from a draft, and name what was filled.

    The lens and its sensor belong together: a photograph's are taken both or not at all.
    """
    taken = []
    if "position" not in values and draft.position is not None:
        values["position"] = draft.position
        taken.append("stand point")
    if "view_azimuth_deg" not in values and draft.view_azimuth_deg is not None:
        values["view_azimuth_deg"] = draft.view_azimuth_deg
        taken.append("bearing of view")
    lens = {
        "focal_length_mm": draft.focal_length_mm,
        "sensor_width_mm": draft.sensor_width_mm,
    }
    if None not in lens.values() and not lens.keys() & values.keys():
        values.update(lens)
        taken.append(LENS)
    return tuple(taken)


def _refuse_without(values: Mapping[str, Any], wood: str) -> None:
    wanted = {
        "--wood 'Pinnet Heath'": bool(wood),
        "--at '53.0051 N 5.0899 W'": "position" in values,
        "--view 118": "view_azimuth_deg" in values,
    }
    missing = [example for example, known in wanted.items() if not known]
    if missing:
        raise BadInputError(
            f"The photograph does not tell all that a spot needs; add {' and '.join(missing)}."
        )


def _is_answered(sentence: str, taken: tuple[str, ...], wood: str | None) -> bool:
    """Whether a sentence of a draft speaks of something that was typed instead."""
    if sentence == LENS_OF_THE_CAMERA:
        return LENS not in taken
    return wood is not None and sentence.startswith(WOOD_GUESSED)
