"""Forecasts: fetched by the services' manners, read from files, or typed at the window.

Data flow: what comes is kept byte for byte with its headers and time; whenever it is needed it
is read again by its reader, so that a better reader later sees what was really received. When
nobody answers, the last one kept is used and its age is said.
"""

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from shivelight.air.forecast import QUANTITIES, Ensemble
from shivelight.basis.arrays import UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.instants import day_bounds, seconds_between, to_local, to_utc
from shivelight.basis.places import Position, rounded_to_district
from shivelight.basis.records import from_plain, to_plain
from shivelight.intake.forecast import kind_of, read_forecast
from shivelight.intake.series import json_from
from shivelight.intake.services import service_named
from shivelight.outing.judgement import ForecastNote
from shivelight.outing.kept import StoredForecast
from shivelight.outing.woods import Privacy, Wood
from shivelight.sky.twilight import find_sun_events
from shivelight.store import forecasts as forecast_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.light import LightDesk
from shivelight.workbench.results import ForecastKept
from shivelight.workbench.typed import EveningTyped, forecast_from

if TYPE_CHECKING:
    from shivelight.intake.fetch import Fetched, Line

OTHER_PLACE_KM = 100.0
"""A forecast made farther away than this is for another place, and refused. [km]"""
COARSE_DECIMALS = 2
"""Positions leave the machine with this many decimals of a degree at most: a kilometre."""
SURE_TO_HOLD_H = 1.0
"""A forecast that ends no earlier than this before sunrise says something of the morning. [h]"""
TYPED = "evening"
__all__ = ["EveningTyped", "ForecastDesk", "coarse"]


class ForecastDesk(LightDesk):
    """What the air will do."""

    def fetch_forecasts(
        self,
        *,
        service: str | None = None,
        wood: str | None = None,
        line: "Line | None" = None,
        progress: Progress = silent,
    ) -> tuple[ForecastKept, ...]:
        """Ask a service for the forecast of each wood; the last one kept serves when none comes.

        Parameters
        ----------
        service : str, optional
            Which; the settings' when not said.
        wood : str, optional
            Only this wood; all when not said.
        line : Line, optional
            How to call; for tests.
        progress : callable
            Told of the steps.

        Raises
        ------
        BadInputError
            If the service is unknown or switched off, or wants a contact that is not set.
        UnreachableError
            If nothing came and nothing is kept either.
        """
        asked = service or self.settings.service
        if asked == "off":
            raise BadInputError("Fetching is switched off (setting: service); type the evening.")
        woods = [wood_rows.get(self.book, wood)] if wood else list(wood_rows.every(self.book))
        if not woods:
            raise MissingDataError(
                "The field book holds no wood yet; add one with: shivelight wood add."
            )
        kept: list[ForecastKept] = []
        answers: dict[tuple[float, float], Fetched] = {}
        for number, one in enumerate(woods):
            progress("fetching forecasts", number, len(woods))
            kept.append(self._fetch(one, asked, line, answers))
        progress("fetching forecasts", len(woods), len(woods))
        return tuple(kept)

    def read_forecast(
        self,
        path: Path,
        *,
        wood: str | None = None,
        kind: str | None = None,
        zone_name: str | None = None,
    ) -> tuple[ForecastKept, ...]:
        """Read a forecast from a file and keep it for one wood or all.

        Parameters
        ----------
        path : Path
            JSON of a service, METAR reports, or a table.
        wood : str, optional
            Only for this wood; for all when not said.
        kind : str, optional
            Which reader; found out from the file when not said.
        zone_name : str, optional
            Zone of a table whose times state no offset.
        """
        try:
            payload = path.read_bytes()
        except OSError as why:
            raise UnreadableFileError(f"{path} cannot be read: {why.strerror}.") from why
        return self.keep_forecast(payload, wood=wood, kind=kind, zone_name=zone_name)

    def keep_forecast(
        self,
        payload: bytes,
        *,
        wood: str | None = None,
        kind: str | None = None,
        zone_name: str | None = None,
    ) -> tuple[ForecastKept, ...]:
        """Read a forecast as it came, and keep it for one wood or all.

        Parameters
        ----------
        payload : bytes
            What a file of a forecast holds; else as :meth:`read_forecast`.
        wood, kind, zone_name : str, optional
            As there.
        """
        woods = [wood_rows.get(self.book, wood)] if wood else list(wood_rows.every(self.book))
        if not woods:
            raise MissingDataError(
                "The field book holds no wood yet; add one with: shivelight wood add."
            )
        headers = {"zone_name": zone_name} if zone_name else {}
        found = kind or kind_of(payload)
        stored = [
            StoredForecast(
                wood=one.name,
                kind=found,
                payload=payload,
                fetched_utc=self.now_utc,
                headers=headers,
            )
            for one in woods
        ]
        kept = self._keep(stored, woods)
        unknown = _not_understood(payload) if found == "table" else ""
        return tuple(
            replace(one, note=" ".join(filter(None, (one.note, unknown)))) for one in kept
        )

    def enter_evening(self, values: EveningTyped) -> tuple[ForecastKept, ...]:
        """Keep what was read off and typed this evening, for every wood."""
        woods = wood_rows.every(self.book)
        if not woods:
            raise MissingDataError(
                "The field book holds no wood yet; add one with: shivelight wood add."
            )
        payload = json.dumps(to_plain(values), ensure_ascii=False).encode("utf-8")
        typed_utc = to_utc(values.at, woods[0].zone_name)
        stored = [
            StoredForecast(
                wood=one.name, kind=TYPED, payload=payload, fetched_utc=typed_utc,
                issued_utc=typed_utc,
            )
            for one in woods
        ]  # fmt: skip
        return self._keep(stored, woods)

    def evening_typed(self, *, within_h: float = 12.0) -> EveningTyped | None:
        """Give the evening's values that were typed last; None when none were, or long ago.

        Parameters
        ----------
        within_h : float
            How long before now they may have been read off. [h]
        """
        woods = wood_rows.every(self.book)
        kept = [
            forecast_rows.latest(self.book, one.name, kind=TYPED, until_utc=self.now_utc)
            for one in woods
        ]
        typed = [one for one in kept if one is not None]
        if not typed:
            return None
        newest = max(typed, key=lambda one: one.fetched_utc)
        if seconds_between(self.now_utc, newest.fetched_utc) > within_h * 3600.0:
            return None
        return from_plain(EveningTyped, json_from(newest.payload, "the evening's values"))

    def forecasts(self) -> tuple[ForecastKept, ...]:
        """Every forecast kept up to now, the newest first."""
        woods = {one.name: one for one in wood_rows.every(self.book)}
        kept = [one for one in forecast_rows.every(self.book) if one.fetched_utc <= self.now_utc]
        kept.sort(key=lambda one: one.fetched_utc, reverse=True)
        return tuple(
            self._described(one, self._read(one, woods[one.wood]), woods[one.wood]) for one in kept
        )

    def forecast_for(self, wood: Wood) -> tuple[Ensemble, ForecastNote, str]:
        """Read back the last forecast kept for a wood, with its age and distance.

        One that ends before the coming morning, such as a report of what is observed, gives way
        to the last that reaches it.

        Hours before its first are filled from the forecast of the same kind kept before it,
        where there is one: the mist model wants the afternoon, and a forecast fetched at night
        begins at night.

        Returns
        -------
        forecast : Ensemble
            As its reader gives it.
        note : ForecastNote
            Where it came from and how old it is.
        fingerprint : str
            The same for woods that share a forecast.

        Raises
        ------
        MissingDataError
            If none is kept.
        BadInputError
            If it was made for another place.
        """
        stored = forecast_rows.latest(self.book, wood.name, until_utc=self.now_utc)
        if stored is None:
            raise MissingDataError(
                f"No forecast is kept for {wood.name}; fetch one, read a file or type the evening."
            )
        ensemble = self._read(stored, wood)
        if not self._reaches_morning(ensemble, wood):
            stored, ensemble = self._last_that_reaches(wood) or (stored, ensemble)
        described = self._described(stored, ensemble, wood)
        if stored.kind != TYPED:
            ensemble = self._with_hours_before(ensemble, stored, wood)
        if described.distance_km is not None and described.distance_km > OTHER_PLACE_KM:
            raise _of_another_place(described)
        note = ForecastNote(
            source=described.source,
            issued_utc=described.issued_utc,
            age_h=described.age_h,
            members=described.members,
            distance_km=described.distance_km,
            missing=described.missing,
        )
        made_here = stored.kind == TYPED  # a typed night depends on the wood's own sunrise
        return ensemble, note, stored.sha256 + (wood.name if made_here else "")

    # --- parts ------------------------------------------------------------------------------

    def _fetch(
        self,
        wood: Wood,
        service: str,
        line: "Line | None",
        answers: "dict[tuple[float, float], Fetched]",
    ) -> ForecastKept:
        from shivelight.intake.fetch import (  # noqa: PLC0415  loads the HTTP client
            UnreachableError,
            fetch_forecast,
        )

        place = coarse(wood)
        key = (place.latitude_deg, place.longitude_deg)
        before = forecast_rows.latest(self.book, wood.name, kind=service_named(service).kind)
        try:
            if key not in answers:
                answers[key] = fetch_forecast(
                    service,
                    place,
                    contact=self.settings.contact or None,
                    now_utc=self.now_utc,
                    cached=_as_fetched(before, service),
                    line=line,
                )
        except UnreachableError as why:
            last = forecast_rows.latest(self.book, wood.name, until_utc=self.now_utc)
            if last is None:
                raise
            described = self._described(last, self._read(last, wood), wood)
            age = f"The last one kept is used, {described.age_h:.0f} hours old."
            return replace(described, note=f"{why} {age}")
        answer = answers[key]
        stored = StoredForecast(
            wood=wood.name,
            kind=answer.kind,
            payload=answer.payload,
            fetched_utc=answer.fetched_utc,
            url=answer.url,
            headers=dict(answer.headers),
        )
        described = self._keep([stored], [wood])[0]
        return replace(described, note=answer.notice or described.note)

    def _keep(
        self, stored: Sequence[StoredForecast], woods: Sequence[Wood]
    ) -> tuple[ForecastKept, ...]:
        """Read first, so that nothing unreadable is kept; then keep all or nothing.

        Woods that it was not made for keep what they had; it is refused when there is no other.
        """
        described = [
            (one, self._described(one, self._read(one, wood), wood))
            for one, wood in zip(stored, woods, strict=True)
        ]
        here = [
            (one, said)
            for one, said in described
            if said.distance_km is None or said.distance_km <= OTHER_PLACE_KM
        ]
        if not here:
            raise _of_another_place(described[0][1])
        with self.book.writing():
            for one, said in here:
                forecast_rows.add(self.book, replace(one, issued_utc=said.issued_utc))
        return tuple(said for _, said in here)

    def _with_hours_before(
        self, ensemble: Ensemble, stored: StoredForecast, wood: Wood
    ) -> Ensemble:
        """Put the afternoon of an earlier forecast before one that begins at night."""
        first = ensemble.utc[0]
        older = forecast_rows.latest(
            self.book, wood.name, kind=stored.kind, until_utc=first - np.timedelta64(1, "s")
        )
        if older is None:
            return ensemble
        return joined(self._read(older, wood), ensemble)

    def _read(self, stored: StoredForecast, wood: Wood) -> Ensemble:
        """Read one kept forecast again."""
        if stored.kind == TYPED:
            values = from_plain(EveningTyped, json_from(stored.payload, "the evening's values"))
            return forecast_from(values, wood)
        return read_forecast(
            stored.payload,
            kind=stored.kind,
            near=wood.parking,
            received_utc=stored.fetched_utc,
            zone_name=stored.headers.get("zone_name"),
        )

    def _described(self, stored: StoredForecast, ensemble: Ensemble, wood: Wood) -> ForecastKept:
        issued = ensemble.issued_utc if ensemble.issued_utc is not None else stored.fetched_utc
        away_m = ensemble.distance_m(wood.parking)
        return ForecastKept(
            wood=wood.name,
            source=ensemble.source,
            kind=stored.kind,
            fetched_utc=stored.fetched_utc,
            issued_utc=issued,
            first_utc=ensemble.utc[0],
            last_utc=ensemble.utc[-1],
            members=ensemble.members,
            missing=ensemble.missing,
            age_h=max(seconds_between(self.now_utc, issued) / 3600.0, 0.0),
            distance_km=None if away_m is None else away_m / 1000.0,
            zone_name=wood.zone_name,
            note=self._too_short(ensemble, wood),
        )

    def _reaches_morning(self, ensemble: Ensemble, wood: Wood) -> bool:
        """Whether it says something of the coming sunrise; true where there is none."""
        start, end = day_bounds(self.next_morning(), wood.zone_name)
        sunrise = find_sun_events(start, end, position=wood.parking).sunrise
        told = _told_utc(ensemble)
        margin = np.timedelta64(round(SURE_TO_HOLD_H * 3600.0), "s")
        return sunrise is None or bool(told.size and told[-1] >= sunrise - margin)

    def _last_that_reaches(self, wood: Wood) -> tuple[StoredForecast, Ensemble] | None:
        """Newest forecast of a wood that reaches the coming morning; None when none does."""
        kept = [
            one
            for one in forecast_rows.every(self.book)
            if one.wood == wood.name and one.fetched_utc <= self.now_utc
        ]
        for one in sorted(kept, key=lambda one: one.fetched_utc, reverse=True):
            ensemble = self._read(one, wood)
            if self._reaches_morning(ensemble, wood):
                return one, ensemble
        return None

    def _too_short(self, ensemble: Ensemble, wood: Wood) -> str:
        """Say that a forecast ends before the next sunrise, so that no morning hangs on it."""
        if self._reaches_morning(ensemble, wood):
            return ""
        if not _told_utc(ensemble).size:
            return "it has no dew point or humidity, so mist cannot be judged by it"
        ends = to_local(ensemble.utc[-1], wood.zone_name)
        return (
            f"it ends on {ends.day} {ends:%B} at {ends:%H:%M}, so the coming morning cannot be "
            "judged by it"
        )


def _of_another_place(one: ForecastKept) -> BadInputError:
    return BadInputError(
        f"The forecast from {one.source} was made for a place {one.distance_km:.0f} km from "
        f"{one.wood}; fetch or type one for here."
    )


def _not_understood(payload: bytes) -> str:
    """Say which columns of a table were left out, because nothing is known by their names."""
    from shivelight.intake.table import unknown_columns  # noqa: PLC0415  beside its one use

    names = unknown_columns(payload)
    if not names:
        return ""
    were = "column was" if len(names) == 1 else "columns were"
    return f"{len(names)} {were} not understood and left out: {', '.join(names)}."


def joined(older: Ensemble, newer: Ensemble) -> Ensemble:
    """Put the hours of an older forecast before those of a newer one, members as in the newer.

    Only the day before counts, and only when the two overlap or touch; the older one's mean
    stands for all members.
    """
    near = (older.utc < newer.utc[0]) & (older.utc >= newer.utc[0] - np.timedelta64(24, "h"))
    touches = older.utc[-1] >= newer.utc[0] - np.timedelta64(1, "h")
    if not near.any() or not touches:
        return newer
    mean = older.mean()
    rows: dict[str, Any] = {
        name: np.concatenate(
            [
                np.repeat(getattr(mean, name)[:, near], newer.members, axis=0),
                getattr(newer, name),
            ],
            axis=1,
        )
        for name in QUANTITIES
    }
    return replace(newer, utc=np.concatenate([older.utc[near], newer.utc]), stated_sd={}, **rows)


def coarse(wood: Wood) -> Position:
    """Give the place that is asked for when a wood's forecast is fetched.

    An open wood's parking place to about a kilometre; of a wood of class *district* or *never*
    only the middle of a square of 10 km, which a forecast hardly feels.
    """
    place = wood.parking
    latitude_deg, longitude_deg = place.latitude_deg, place.longitude_deg
    if wood.privacy is not Privacy.OPEN:
        latitude_deg, longitude_deg = rounded_to_district(place)
    return replace(
        place,
        latitude_deg=round(latitude_deg, COARSE_DECIMALS),
        longitude_deg=round(longitude_deg, COARSE_DECIMALS),
    )


def _told_utc(ensemble: Ensemble) -> UtcArray:
    """Hours of which it gives both air and dew point, without which no mist is judged."""
    known = np.isfinite(ensemble.temperature_degc) & np.isfinite(ensemble.dew_point_degc)
    return ensemble.utc[known.any(axis=0)]


def _as_fetched(stored: StoredForecast | None, service: str) -> "Fetched | None":
    """Give a kept answer back to the fetcher, when it came from the same service."""
    if stored is None or not stored.url:
        return None
    from shivelight.intake.fetch import Fetched  # noqa: PLC0415  loads the HTTP client

    return Fetched(
        service=service,
        kind=stored.kind,
        url=stored.url,
        payload=stored.payload,
        headers=stored.headers,
        fetched_utc=stored.fetched_utc,
    )
