"""What is carried: the morning sheet, the leave-word card, and the choice on arrival.

Data flow: the judgement is read back as it was given, with the woods and spots of the book; the
three taps are worked out for every answer beforehand; ``drawing`` turns the values into pages.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
)
from shivelight.basis.instants import clock, to_utc
from shivelight.basis.places import Position
from shivelight.drawing.leave_word import (
    NOT_SAID,
    leave_word_html,
    leave_word_pdf,
    leave_word_text,
)
from shivelight.drawing.sheet import sheet_html, sheet_pdf
from shivelight.light.crowned import seen_light
from shivelight.outing.arrive import (
    Answers,
    SpotChance,
    arrival_table,
    rerank,
)
from shivelight.outing.judgement import Morning, SpotOutlook
from shivelight.outing.outings import LeaveWord, Outing
from shivelight.outing.sheet import LeaveWordCard, OnArrival, SeenLifting, SheetContext
from shivelight.outing.sheet_context import Quiet, leave_word_card, sheet_context
from shivelight.outing.sheet_stand import SheetStand
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.store import marks as mark_rows
from shivelight.store import outings as outing_rows
from shivelight.store import settings as setting_rows
from shivelight.store import spots as spot_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.found import FoundDesk
from shivelight.workbench.keeping import write_whole
from shivelight.workbench.results import Arrival, SheetFiles, WordFiles
from shivelight.workbench.sheet_stand import sheet_stand
from shivelight.workbench.stand import StandDesk
from shivelight.workbench.ways import walk_between_min, walk_to_min

REACH_ON_FOOT_MIN = 60.0
"""Spots farther than this on foot are not offered on arrival: the mist would be gone. [min]"""
LAST_TIME = ("who", "car", "contact")
"""Words of the card that are remembered for next time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WordAsked:
    """What is asked for a leave-word card; empty words are taken from last time.

    Attributes
    ----------
    who, car, contact : str
        The photographer, the car, whom to ring first.
    back_by, alarm_at : time or None
        On the wood's clock; the settings' when None.
    note : str
        Anything.
    let_out : tuple of str
        Names of spots of class *never* that may stand on the card, typed on purpose.
    """

    who: str = ""
    car: str = ""
    contact: str = ""
    back_by: dt.time | None = None
    alarm_at: dt.time | None = None
    note: str = ""
    let_out: tuple[str, ...] = ()


class SheetDesk(FoundDesk, StandDesk):
    """Paper and phone for the morning."""

    def write_sheet(self, day: dt.date, folder: Path, *, pdf: bool = True) -> SheetFiles:
        """Write the morning sheet: one HTML file, and an A4 PDF where that can be made.

        Parameters
        ----------
        day : date
            A judged morning.
        folder : Path
            Where to write; made when missing.
        pdf : bool
            Whether to try the PDF as well.
        """
        stem = folder / f"morning-sheet-{day}"
        html = stem.with_suffix(".html")
        write_whole(html, self.sheet_page(day))
        printed, note = None, ""
        if pdf:
            printed, note = _print_to(stem.with_suffix(".pdf"), lambda: self.sheet_paper(day))
        self.give_sheet(day)
        return SheetFiles(day=day, html=html, pdf=printed, note=note)

    def sheet_page(self, day: dt.date) -> str:
        """Write the sheet of a morning as one page that needs nothing else."""
        return sheet_html(self.sheet_of(day))

    def sheet_paper(self, day: dt.date) -> bytes:
        """Write the sheet of a morning as a PDF of A4.

        Raises
        ------
        MissingDataError
            If the Pango library is not on this machine.
        """
        return sheet_pdf(self.sheet_of(day))

    def give_sheet(self, day: dt.date, *, given: bool = True) -> Outing:
        """Mark the sheet of a morning as made, taking the morning where it was not; or unmark it.

        Raises
        ------
        NotFoundError
            If nothing has been judged for the morning.
        """
        outing = replace(self._outing(day), sheet_given=given)
        outing_rows.replace(self.book, outing)
        return outing

    def sheet_of(self, day: dt.date) -> SheetContext:
        """Everything the sheet of a morning says."""
        morning = self.judged(day)
        return sheet_context(
            morning,
            (wood_rows.every(self.book), spot_rows.every(self.book)),
            arrival=self._on_arrival(morning),
            word=self.word_left(day),
            kit=self.kit(),
            anchors=mark_rows.every(self.book),
            stands=self._stands(morning),
        )

    def leave_word(self, day: dt.date, folder: Path, asked: WordAsked) -> WordFiles:
        """Write the leave-word card of a morning: text, HTML and an A5 PDF.

        Parameters
        ----------
        day : date
            A judged morning.
        folder : Path
            Where to write; made when missing.
        asked : WordAsked
            Who, car, contact, times.
        """
        morning = self.judged(day)
        word = self._word(morning, asked)
        card = self._card(morning, word, asked.let_out)
        text = leave_word_text(card)
        stem = folder / f"leave-word-{day}"
        write_whole(stem.with_suffix(".txt"), text)
        write_whole(stem.with_suffix(".html"), leave_word_html(card))
        printed, note = _print_to(stem.with_suffix(".pdf"), lambda: leave_word_pdf(card))
        self.put_word_back(day, word)
        return WordFiles(
            day=day, text=text, text_file=stem.with_suffix(".txt"),
            html=stem.with_suffix(".html"), pdf=printed,
            note=" ".join(filter(None, (note, _not_said(word)))),
        )  # fmt: skip

    def keep_word(self, day: dt.date, asked: WordAsked) -> Outing:
        """Keep what is left with somebody for a morning; the card is written from it.

        Parameters
        ----------
        day : date
            A judged morning.
        asked : WordAsked
            Who, car, contact, times.

        Raises
        ------
        NotFoundError
            If nothing has been judged for the morning, or a spot to be let out is none of the
            book's.
        BadInputError
            If the alarm does not come after the time to be back.
        """
        return self.put_word_back(day, self._word(self.judged(day), asked))

    def put_word_back(self, day: dt.date, word: LeaveWord | None) -> Outing:
        """Put another word, or none, in place of the one left for a morning."""
        outing = replace(self._outing(day), word=word)
        outing_rows.replace(self.book, outing)
        return outing

    def word_card(self, day: dt.date, *, let_out: tuple[str, ...] = ()) -> LeaveWordCard:
        """Everything the card of a morning says, from the word that was left.

        Parameters
        ----------
        day : date
            A morning for which word was left.
        let_out : tuple of str
            Names of spots of class *never* that may stand on it, typed on purpose.

        Raises
        ------
        NotFoundError
            If no word was left for the morning.
        """
        word = self.word_left(day)
        if word is None:
            raise NotFoundError(f"No word was left for {day}; say first who, where and back when.")
        return self._card(self.judged(day), word, let_out)

    def word_text(self, day: dt.date, *, let_out: tuple[str, ...] = ()) -> str:
        """Write the card of a morning as plain text."""
        return leave_word_text(self.word_card(day, let_out=let_out))

    def word_page(self, day: dt.date, *, let_out: tuple[str, ...] = ()) -> str:
        """Write the card of a morning as one page that needs nothing else."""
        return leave_word_html(self.word_card(day, let_out=let_out))

    def word_paper(self, day: dt.date, *, let_out: tuple[str, ...] = ()) -> bytes:
        """Write the card of a morning as a PDF of A5.

        Raises
        ------
        MissingDataError
            If the Pango library is not on this machine.
        """
        return leave_word_pdf(self.word_card(day, let_out=let_out))

    def word_left(self, day: dt.date) -> LeaveWord | None:
        """Word that was left for a morning; None when none was."""
        outing = self.outing(day)
        return outing.word if outing is not None else None

    def word_of_last_time(self) -> WordAsked:
        """Who, car and contact as on the last card, and the settings' time to be back."""
        who, car, contact = (
            setting_rows.get(self.book, f"leave word {name}") or "" for name in LAST_TIME
        )
        back_by = clock_time(self.settings.back_by)
        return WordAsked(who=who, car=car, contact=contact, back_by=back_by)

    def arrive(
        self, day: dt.date, answers: Answers, *, at: dt.time | None = None, here: str | None = None
    ) -> Arrival:
        """Re-rank the spots by what is found on arrival, and say when such mist lifts.

        Parameters
        ----------
        day : date
            A judged morning.
        answers : Answers
            Mist, air and light as found, and the ground when looked at.
        at : time, optional
            On the wood's clock; now when not said.
        here : str, optional
            The spot one stands at; the parking place of the first spot's wood when not said.
        """
        morning = self.judged(day)
        at_utc = self.now_utc
        if at is not None:
            at_utc = to_utc(dt.datetime.combine(day, at), morning.zone_name)
        chances, walks = self._chances(morning, here)
        seen = dict(morning.first.mist.seen) if morning.first else {}
        return Arrival(
            choices=rerank(chances, answers, at_utc=at_utc, here=walks),
            seen=answers.mist,
            lifting=() if answers.mist == "none" else seen.get(answers.mist, ()),
        )

    # --- parts ------------------------------------------------------------------------------

    def _stands(self, morning: Morning) -> tuple[SheetStand, ...]:
        """Say where to put the tripod at the spot shown first, and at those that were taken."""
        quiet = Quiet(wood_rows.every(self.book), spot_rows.every(self.book))
        shown = [one.spot for one in morning.spots if not quiet.hides(one.spot, one.wood)]
        outing = self.outing(morning.day)
        asked = (*shown[:1], *(outing.visits if outing is not None else ()))
        held = {one.name for one in spot_rows.every(self.book)}
        stands = [sheet_stand(self, name) for name in dict.fromkeys(asked) if name in held]
        return tuple(one for one in stands if one is not None)

    def _on_arrival(self, morning: Morning) -> OnArrival:
        """Work the three taps out for every answer, from the car of the first spot's wood."""
        first = morning.first
        if first is None:
            return OnArrival()
        chances, walks = self._chances(morning, None)
        at_utc = first.park_utc if first.park_utc is not None else first.quarter_utc[0]
        return OnArrival(
            rows=arrival_table(chances, at_utc=at_utc, here=walks),
            seen=tuple(SeenLifting(seen=word, times=times) for word, times in first.mist.seen),
        )

    def _chances(self, morning: Morning, here: str | None) -> tuple[list[SpotChance], list[float]]:
        """Bring the judged spots that can be walked to, with their walks in seconds."""
        woods = {wood.name: wood for wood in wood_rows.every(self.book)}
        start = self._start(morning, here, woods)
        chances, walks = [], []
        for outlook in morning.spots:
            spot = self.spot(outlook.spot)
            wood = woods[outlook.wood]
            if here is None and outlook.wood == (morning.first or outlook).wood:
                walk_min = walk_to_min(spot, wood)
            else:
                walk_min = walk_between_min(start, spot.position)
            if walk_min > REACH_ON_FOOT_MIN:
                continue
            utc = outlook.quarter_utc
            altitude_deg, _ = sun_altitude_azimuth(
                utc,
                latitude_deg=spot.position.latitude_deg,
                longitude_deg=spot.position.longitude_deg,
            )
            chances.append(_chance(outlook, spot, wood, utc=utc, altitude_deg=altitude_deg))
            walks.append(walk_min * 60.0)
        if not chances:
            raise NotFoundError("No judged spot can be reached on foot from here.")
        return chances, walks

    def _start(self, morning: Morning, here: str | None, woods: dict[str, Wood]) -> Position:
        """Where one stands: at a spot, or by the car of the first spot's wood."""
        if here is not None:
            return self.spot(here).position
        if morning.first is None:
            raise NotFoundError(f"Nothing was judged for {morning.day}.")
        return woods[morning.first.wood].parking

    def _outing(self, day: dt.date) -> Outing:
        """Look up the outing of a day, or take the morning's first spot."""
        return self.outing(day) or self.take(day)

    def _card(self, morning: Morning, word: LeaveWord, let_out: tuple[str, ...]) -> LeaveWordCard:
        return leave_word_card(
            morning,
            (wood_rows.every(self.book), spot_rows.every(self.book)),
            word=word,
            let_out=let_out,
        )

    def _word(self, morning: Morning, asked: WordAsked) -> LeaveWord:
        """Fill the word in from what was asked, last time, and the settings."""
        for name in asked.let_out:
            self.spot(name)
        day, zone_name = morning.day, morning.zone_name
        back_by = asked.back_by or clock_time(self.settings.back_by)
        back_utc = to_utc(dt.datetime.combine(day, back_by), zone_name)
        if asked.alarm_at is not None:
            alarm_utc = to_utc(dt.datetime.combine(day, asked.alarm_at), zone_name)
        else:
            after_s = round(self.settings.alarm_after_h * 3600.0)
            alarm_utc = back_utc + np.timedelta64(after_s, "s")
        if alarm_utc <= back_utc:
            raise BadInputError(
                f"The alarm at {clock(alarm_utc, zone_name)} must come after the time to be back, "
                f"{clock(back_utc, zone_name)}."
            )
        said = {name: self._remembered(name, getattr(asked, name)) for name in LAST_TIME}
        return LeaveWord(back_by_utc=back_utc, alarm_utc=alarm_utc, note=asked.note, **said)

    def _remembered(self, name: str, said: str) -> str:
        """Keep what is said for next time; give last time's word when nothing is said."""
        key = f"leave word {name}"
        if said:
            setting_rows.put(self.book, key, said)
            return said
        return setting_rows.get(self.book, key) or NOT_SAID


def _print_to(path: Path, made: Callable[[], bytes]) -> tuple[Path | None, str]:
    """Write a PDF where one can be made; else say why not."""
    try:
        content = made()
    except MissingDataError as why:
        return None, str(why)
    write_whole(path, content)
    return path, ""


def _not_said(word: LeaveWord) -> str:
    """Name what the card lacks, and how it is said."""
    lacks = [
        words
        for words, said in (
            ("who you are (--who)", word.who),
            ("the car (--car)", word.car),
            ("whom to ring first (--contact)", word.contact),
        )
        if said == NOT_SAID
    ]
    return f"The card does not say {', '.join(lacks)}." if lacks else ""


def clock_time(text: str) -> dt.time:
    """Read a time of day such as 11:00 or 7.30.

    Raises
    ------
    BadInputError
        If it is none.
    """
    try:
        return dt.time.fromisoformat(text.strip().replace(".", ":").zfill(5))
    except ValueError as why:
        raise BadInputError(f"{text!r} is no time of day; write it like 11:00.") from why


def _chance(
    outlook: SpotOutlook,
    spot: Spot,
    wood: Wood,
    *,
    utc: UtcArray,
    altitude_deg: FloatArray,
) -> SpotChance:
    """Collect what a judged spot brings to the re-ranking."""
    return SpotChance(
        spot=outlook.spot,
        wood=outlook.wood,
        zone_name=wood.zone_name,
        wishes=spot.wishes,
        light=seen_light(outlook.light),
        sun_utc=utc,
        sun_altitude_deg=altitude_deg,
        leaf=outlook.leaf,
        ground=outlook.ground,
        lifts_utc=outlook.mist.lifting,
        mist_depth_m=wood.habit.depth_m,
    )
