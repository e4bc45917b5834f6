"""The mark of a spot: note its anchors, find it again, leave out what has fallen.

Data flow: words are read by ``intake``, joined with the places of the survey by ``outing.marks``,
and ``scene.resection`` says where one stands; anchors are kept by ``store.marks``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.intake.anchors import (
    read_angle_between,
    read_bearing_to,
    read_distance_to,
    read_transit,
)
from shivelight.intake.measures import Hands, Length
from shivelight.outing.marks import (
    LEAST_DOUBT_M,
    LostAnchor,
    MarkAnchors,
    NotedDistance,
    NotedTransit,
    again,
    anchors_from,
    fix_words,
    transit_again,
)
from shivelight.scene.anchors import (
    TRANSIT_DOUBT_DEG,
    Anchor,
    Between,
    Measurement,
    Sighted,
    Taped,
    Transit,
    names_in,
    words_of,
)
from shivelight.scene.mark_strength import Strength, strength
from shivelight.scene.resection import Fix, resect
from shivelight.store import marks as mark_rows
from shivelight.workbench.survey import SurveyDesk


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What is measured to find a mark again, as typed.

    Attributes
    ----------
    distances : tuple of str
        "Plumb=7.12".
    transits : tuple of str
        "Plumb left / Lean right", in line now; "... = 0.3 right" where they are not.
    angles : tuple of str
        "Crook to Plumb=6".
    bearings : tuple of str
        "Plumb=205".
    """

    distances: tuple[str, ...] = ()
    transits: tuple[str, ...] = ()
    angles: tuple[str, ...] = ()
    bearings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkPage:
    """The mark of a spot.

    Attributes
    ----------
    spot : str
        Whose.
    anchors : MarkAnchors
        As kept.
    lines : tuple of str
        Each anchor in words, as on the sheet.
    strength : Strength or None
        How well they fix the mark; None where too few of them are surveyed.
    notes : tuple of str
        What is weak or missing, in sentences.
    """

    spot: str
    anchors: MarkAnchors
    lines: tuple[str, ...]
    strength: Strength | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkFound:
    """Where one stands.

    Attributes
    ----------
    spot : str
        Whose mark.
    words : str
        The answer.
    fix : Fix
        In numbers.
    left_out : tuple of str
        What was measured and not used, and why.
    """

    spot: str
    words: str
    fix: Fix
    left_out: tuple[str, ...]


class MarkDesk(SurveyDesk):
    """Marks and how they are found again."""

    def mark(self, spot: str) -> MarkPage:
        """Give the anchors of a spot's mark and how well they fix it."""
        known = self.spot(spot)
        return self._mark_page(mark_rows.get(self.book, known.name), known.lens_height_m)

    def note_mark(
        self, spot: str, *, transits: Sequence[str] = (), distances: Sequence[str] = ()
    ) -> MarkPage:
        """Note anchors while standing on the mark; a distance to the same thing replaces the old.

        Parameters
        ----------
        spot : str
            Which spot.
        transits : sequence of str
            Two things in line, the near one first: "Plumb left / Lean right".
        distances : sequence of str
            "Plumb=7.12".

        Raises
        ------
        BadInputError
            If something is not read; nothing is kept then.
        """
        known = self.spot(spot)
        kept, hands = mark_rows.get(self.book, known.name), self.hands_at(known)
        if not transits and not distances:
            raise BadInputError(
                "Nothing was noted; give --transit 'NEAR left / FAR right' or --distance "
                "NAME=7.12."
            )
        lines = dict.fromkeys((*kept.transits, *(self._transit(one, hands) for one in transits)))
        taped = {one.to.casefold(): one for one in kept.distances}
        for text in distances:
            name, length = read_distance_to(text, hands=hands)
            name = self._surveyed_name(known.name, name)
            taped[name.casefold()] = NotedDistance(
                to=name,
                distance_m=self._to_middle_m(known.name, name, length),
                doubt_m=length.doubt_m,
                how=text.partition("=")[2].strip(),
            )
        kept = replace(kept, transits=tuple(lines), distances=tuple(taped.values()))
        mark_rows.put(self.book, kept)
        return self._mark_page(kept, known.lens_height_m)

    def forget_anchor(self, spot: str, name: str) -> MarkPage:
        """Take every transit and distance to a thing off the mark: noted by mistake.

        Raises
        ------
        NotFoundError
            If no anchor of the mark is called that.
        """
        known = self.spot(spot)
        kept = mark_rows.get(self.book, known.name)
        _require_anchor(kept, name)
        made = MarkAnchors(
            spot=kept.spot,
            transits=tuple(one for one in kept.transits if not _is(name, one.near, one.far)),
            distances=tuple(one for one in kept.distances if not _is(name, one.to)),
            lost=tuple(one for one in kept.lost if not _is(name, one.name)),
        )
        mark_rows.put(self.book, made)
        return self._mark_page(made, known.lens_height_m)

    def lose_anchor(self, spot: str, name: str, *, stands: bool = False) -> MarkPage:
        """Note that an anchor is gone; what was measured to it stays on record, left out.

        Parameters
        ----------
        spot : str
            Which spot.
        name : str
            The thing that fell, was felled or moved.
        stands : bool
            Whether it stands after all.

        Raises
        ------
        NotFoundError
            If no anchor of the mark is called that.
        """
        known = self.spot(spot)
        kept = mark_rows.get(self.book, known.name)
        named = _require_anchor(kept, name)
        others = tuple(one for one in kept.lost if not _is(name, one.name))
        gone = (
            () if stands else (LostAnchor(name=named, noted_on=self.today(self.wood_of(known))),)
        )
        made = replace(kept, lost=(*others, *gone))
        mark_rows.put(self.book, made)
        return self._mark_page(made, known.lens_height_m)

    def find_mark(self, spot: str, measured: Measured) -> MarkFound:
        """Say where one stands from the mark, and which way to step.

        Parameters
        ----------
        spot : str
            Which spot.
        measured : Measured
            As typed; two measurements at least to things that are surveyed and still stand.

        Raises
        ------
        MissingDataError
            If fewer than two can be used; the text says which were left out.
        BadInputError
            If something is not read, or cannot be read in any one place.
        """
        known = self.spot(spot)
        kept = mark_rows.get(self.book, known.name)
        anchors = {one.name: one for one in self._anchors(known.name, known.lens_height_m)}
        read = self._measurements(known.name, measured, kept)
        used: list[Measurement] = []
        left_out: list[str] = []
        for one in read:
            why = _why_not(one, anchors, kept)
            if why:
                left_out.append(why)
            else:
                used.append(one)
        if len(used) < 2:
            raise MissingDataError(
                " ".join(
                    ("Two measurements are wanted, to things that are surveyed and still stand.",
                     *left_out)
                )
            )  # fmt: skip
        fix = resect(list(anchors.values()), used)
        return MarkFound(spot=known.name, words=fix_words(fix), fix=fix, left_out=tuple(left_out))

    def _measurements(self, spot: str, said: Measured, kept: MarkAnchors) -> list[Measurement]:
        hands = self.hands_at(self.spot(spot))
        made: list[Measurement] = []
        for text in said.distances:
            name, length = read_distance_to(text, hands=hands)
            made.append(self._taped(spot, self._surveyed_name(spot, name), length, kept))
        made += [self._seen(spot, text, hands, kept) for text in said.transits]
        for text in said.angles:
            left, right, angle = read_angle_between(text, hands=hands)
            made.append(
                Between(
                    left=self._surveyed_name(spot, left),
                    right=self._surveyed_name(spot, right),
                    angle_deg=angle.angle_deg,
                    doubt_deg=angle.doubt_deg,
                )
            )
        for text in said.bearings:
            name, angle = read_bearing_to(text, hands=hands)
            made.append(
                Sighted(
                    to=self._surveyed_name(spot, name),
                    angle_deg=angle.angle_deg,
                    doubt_deg=angle.doubt_deg,
                )
            )
        return made

    def _seen(self, spot: str, text: str, hands: Hands, kept: MarkAnchors) -> Transit:
        """Take a transit as seen now: held against the mark where it was noted there."""
        read = read_transit(text, hands=hands)
        line = self._named_transit(spot, read.transit)
        seen = transit_again(line, read.opened.angle_deg if read.opened else 0.0)
        doubt_deg = read.opened.doubt_deg if read.opened else TRANSIT_DOUBT_DEG
        noted = any(_same(line, one) for one in kept.transits)
        return replace(seen, doubt_deg=max(doubt_deg, 1e-3), noted_deg=0.0 if noted else None)

    def _taped(self, spot: str, name: str, length: Length, kept: MarkAnchors) -> Taped:
        noted = next((one for one in kept.distances if _is(name, one.to)), None)
        return Taped(
            to=name,
            distance_m=self._to_middle_m(spot, name, length),
            doubt_m=max(length.doubt_m, LEAST_DOUBT_M),
            noted_m=noted.distance_m if noted else None,
            noted_doubt_m=noted.doubt_m if noted else 0.0,
        )

    def _to_middle_m(self, spot: str, name: str, length: Length) -> float:
        """Add half a trunk to a tape that ended at the bark."""
        if not length.to_bark:
            return length.length_m
        trunks = self.kept_survey(spot).survey.trunks
        width_m = next((one.width_m for one in trunks if _is(name, one.name)), None)
        if width_m is None:
            raise BadInputError(
                f"{name} is not surveyed, so half its width cannot be added; measure to its "
                "middle."
            )
        return length.length_m + width_m / 2.0

    def _surveyed_name(self, spot: str, name: str) -> str:
        """Write a name as the survey or the mark writes it; as typed where neither knows it."""
        kept = mark_rows.get(self.book, spot)
        known = [one.name for one in self.kept_survey(spot).survey.trunks]
        known += [one.to for one in kept.distances]
        known += [end for one in kept.transits for end in (one.near, one.far)]
        return next((one for one in known if _is(name, one)), " ".join(name.split()))

    def _transit(self, text: str, hands: Hands) -> NotedTransit:
        read = read_transit(text, hands=hands)
        if read.opened is not None:
            raise BadInputError(
                f"The transit {text!r} is open; on the mark note two edges that stand in line."
            )
        return read.transit

    def _named_transit(self, spot: str, line: NotedTransit) -> NotedTransit:
        return replace(
            line,
            near=self._surveyed_name(spot, line.near),
            far=self._surveyed_name(spot, line.far),
        )

    def _anchors(self, spot: str, lens_height_m: float) -> tuple[Anchor, ...]:
        return anchors_from(self.kept_survey(spot).survey, lens_height_m=lens_height_m)

    def _mark_page(self, kept: MarkAnchors, lens_height_m: float) -> MarkPage:
        anchors = self._anchors(kept.spot, lens_height_m)
        named = {one.name.casefold(): one.name for one in anchors}
        measured = _named(again(kept), named)
        usable = [one for one in measured if set(names_in(one)) <= set(named.values())]
        notes = [
            f"{_capital(words_of(one))} holds in words only: "
            f"{' and '.join(sorted(set(names_in(one)) - set(named.values())))} not "
            "surveyed yet."
            for one in measured
            if one not in usable
        ]
        told = strength(anchors, usable) if usable else None
        if told is not None:
            notes = [*told.warnings, *notes]
        elif not kept.transits and not kept.distances:
            notes = ["No anchors yet: note two things in line, or distances to two trunks."]
        return MarkPage(
            spot=kept.spot, anchors=kept, lines=kept.lines, strength=told, notes=tuple(notes)
        )


def _named(measured: Sequence[Measurement], named: dict[str, str]) -> list[Measurement]:
    """Write the names of anchors as the survey writes them."""
    made: list[Measurement] = []
    for one in measured:
        if isinstance(one, Transit):
            near = named.get(one.near.casefold(), one.near)
            made.append(replace(one, near=near, far=named.get(one.far.casefold(), one.far)))
        elif isinstance(one, Taped):
            made.append(replace(one, to=named.get(one.to.casefold(), one.to)))
        else:
            made.append(one)
    return made


def _why_not(one: Measurement, anchors: dict[str, Anchor], kept: MarkAnchors) -> str:
    """Say why a measurement cannot be used; nothing where it can."""
    for name in names_in(one):
        if kept.is_lost(name):
            return f"{_capital(words_of(one))} was left out: {name} is noted as gone."
        if name not in anchors:
            return f"{_capital(words_of(one))} was left out: the place of {name} is not surveyed."
    return ""


def _require_anchor(kept: MarkAnchors, name: str) -> str:
    known = [one.to for one in kept.distances]
    known += [end for one in kept.transits for end in (one.near, one.far)]
    known += [one.name for one in kept.lost]
    found = next((one for one in known if _is(name, one)), None)
    if found is None:
        held = ", ".join(dict.fromkeys(known)) or "none yet"
        raise NotFoundError(f"{kept.spot} has no anchor called {name!r}; its anchors are {held}.")
    return found


def _same(one: NotedTransit, other: NotedTransit) -> bool:
    return (
        _is(one.near, other.near)
        and _is(one.far, other.far)
        and (one.near_side, one.far_side) == (other.near_side, other.far_side)
    )


def _is(name: str, *others: str) -> bool:
    said = " ".join(name.split()).casefold()
    return any(said == " ".join(one.split()).casefold() for one in others)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
