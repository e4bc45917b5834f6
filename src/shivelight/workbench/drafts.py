"""The spot that a kept photograph suggests, for a page that is loaded again."""

from shivelight.outing.pictures import SpotDraft
from shivelight.workbench.pictures import PictureDesk


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
