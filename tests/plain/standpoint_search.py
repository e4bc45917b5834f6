"""The search for a stand point the slow way: one view at a time, through the public camera."""

import math
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.scene._view_scores import Views
from shivelight.scene.camera import Camera, project
from shivelight.scene.elements import SkyHole, Survey
from shivelight.scene.framing import Framing, Reach, altitudes_deg, intruders_of, subject_of
from shivelight.scene.gaps import gaps_at
from shivelight.scene.pairing import index_of, parting_pairs
from shivelight.scene.silhouettes import Solids, outlines, solids_of


@dataclass(frozen=True)
class Piece:
    """Edges of a piece as functions of altitude, and how far off it is."""

    name: str
    numbers: FloatArray
    away_m: float

    def left(self, tangent: float) -> float:
        return float(self.numbers[0] + math.asin(max(-1, min(1, self.numbers[1] * tangent))))

    def right(self, tangent: float) -> float:
        return float(self.numbers[2] + math.asin(max(-1, min(1, self.numbers[3] * tangent))))


def _near(angle: float, to: float) -> float:
    return to + math.remainder(angle - to, 2.0 * math.pi)


def _pieces(survey: Survey, solids: Solids, place: FloatArray) -> list[Piece]:
    edges = outlines(solids, place)
    found = []
    for name, row in index_of(survey).items():
        for piece in range(solids.first[row], solids.first[row + 1]):
            middle = (solids.low_m[piece] + solids.high_m[piece]) / 2.0
            away = math.hypot(*(middle - place)[:2])
            found.append(Piece(name, edges[piece], away))
    return found


def _hole(hole: SkyHole, place: FloatArray) -> Piece:
    turn, rise = math.radians(hole.angle_deg), math.radians(hole.altitude_deg)
    flat = hole.distance_m * math.cos(rise)
    middle = np.array([flat * math.sin(turn), flat * math.cos(turn), 0.0])
    x, y, _ = middle - place
    z = 1.4 + hole.distance_m * math.sin(rise) - place[2]
    bearing, altitude = math.atan2(x, y), math.atan2(z, math.hypot(x, y))
    across, up = math.radians(hole.width_deg) / 2, math.radians(hole.height_deg) / 2
    low, high = math.tan(max(-1.5, altitude - up)), math.tan(min(1.5, altitude + up))
    numbers = np.array([bearing - across, 0.0, bearing + across, 0.0, low, high])
    return Piece(hole.name, numbers, math.hypot(x, y))


def _whole_box(pieces: list[Piece]) -> Piece:
    if len(pieces) == 1:
        return pieces[0]
    first = pieces[0].numbers
    middle = (first[0] + first[2]) / 2.0
    shifted = []
    for one in pieces:
        own = (one.numbers[0] + one.numbers[2]) / 2.0
        shifted.append(one.numbers[[0, 2]] + _near(own, middle) - own)
    left, right = min(s[0] for s in shifted), max(s[1] for s in shifted)
    low, high = min(p.numbers[4] for p in pieces), max(p.numbers[5] for p in pieces)
    away = max(p.away_m for p in pieces)
    return Piece(pieces[0].name, np.array([left, 0.0, right, 0.0, low, high]), away)


def _is_hidden(box: Piece, low: float, high: float, pieces: list[Piece]) -> bool:
    for one in pieces:
        if one.name == box.name or one.away_m >= box.away_m:
            continue
        if one.numbers[4] > low or one.numbers[5] < high:
            continue
        own = (one.numbers[0] + one.numbers[2]) / 2.0
        shift = _near(own, (box.numbers[0] + box.numbers[2]) / 2.0) - own
        if all(
            one.left(t) + shift <= box.left(t) and one.right(t) + shift >= box.right(t)
            for t in (low, high)
        ):
            return True
    return False


def _corners(box: Piece, low: float, high: float, place: FloatArray) -> FloatArray:
    points = []
    for tangent in (low, high):
        for bearing in (box.left(tangent), box.right(tangent)):
            points.append([math.sin(bearing), math.cos(bearing), tangent])
    return np.asarray(place + np.array(points), dtype=np.float64)


def _level(pieces: list[Piece], aim: float) -> tuple[float, float]:
    sides = []
    for one in pieces:
        held = min(max(0.0, one.numbers[4]), one.numbers[5])
        left, right = one.left(held), one.right(held)
        shift = _near((left + right) / 2.0, aim) - (left + right) / 2.0
        sides.append((left + shift, right + shift))
    return min(s[0] for s in sides), max(s[1] for s in sides)


def plain_scores(
    survey: Survey, framing: Framing, reach: Reach, *, now: Camera, views: Views
) -> FloatArray:
    """Score every view; shape (N, A, T, F), as ``search.score_candidates`` says."""
    shape = (
        len(views.places_m), len(views.turns_rad), len(views.tilts_rad), len(views.focal_widths),
    )  # fmt: skip
    scores = np.empty(shape)
    for at in np.ndindex(shape):
        place, turn, tilt, lens = at
        camera = Camera(
            x_m=views.places_m[place, 0],
            y_m=views.places_m[place, 1],
            z_m=views.places_m[place, 2],
            yaw_deg=math.degrees(views.base_yaw_rad[place] + views.turns_rad[turn]),
            pitch_deg=math.degrees(views.tilts_rad[tilt]),
            focal_length_mm=float(views.focal_widths[lens]) * now.sensor_width_mm,
            sensor_width_mm=now.sensor_width_mm,
            sensor_height_mm=now.sensor_height_mm,
        )
        base = float(views.base_yaw_rad[place])
        scores[at] = _score(survey, framing, reach, now=now, camera=camera, base=base)
        scores[at] -= views.place_price_deg[place] + views.lens_price_deg[lens]
    return scores


def _score(
    survey: Survey, framing: Framing, reach: Reach, *, now: Camera, camera: Camera, base: float
) -> float:
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    band = altitudes_deg(framing, reach, now)
    pairs = parting_pairs(survey, framing, now)
    gaps = gaps_at(survey, place, pairs=pairs, altitudes_deg=band)
    worth = min([90.0, *(gap.gap_deg for gap in gaps)])
    kept = gaps_at(survey, place, pairs=framing.keeps, altitudes_deg=band)
    worth -= 100.0 * sum(gap.gap_deg > 0.0 for gap in kept)
    pieces = _pieces(survey, solids_of(survey), place)
    worth -= _span_price(survey, framing, pieces, camera=camera, base=base, parting=pairs)
    low = math.tan(math.radians(max(-89.0, band[0] - 5.0)))
    high = math.tan(math.radians(min(89.0, band[1] + 5.0)))
    boxes = {
        name: _whole_box([one for one in pieces if one.name == name]) for name in index_of(survey)
    }
    boxes |= {hole.name: _hole(hole, place) for hole in survey.holes}
    spans = {
        name: (max(low, box.numbers[4]), min(high, box.numbers[5])) for name, box in boxes.items()
    }
    subject = subject_of(survey, framing)
    if subject is not None:
        worth -= _subject_price(framing, boxes[subject], spans[subject], camera)
    for name in framing.whole:
        u, v, depth = project(camera, _corners(boxes[name], *spans[name], place))
        tall, border = camera.half_height, framing.border_frac
        sound = spans[name][0] <= spans[name][1] and bool(np.all(depth > 1e-6))
        inside = sound and u.min() >= border - 0.5 and u.max() <= 0.5 - border
        worth -= 100.0 * (not (inside and v.max() <= tall - border))
    for name in intruders_of(survey, framing):
        worth -= 0.2 * _shows(boxes[name], spans[name], pieces, camera)
    return worth


def _shows(box: Piece, span: tuple[float, float], pieces: list[Piece], camera: Camera) -> bool:
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    if span[0] > span[1] or _is_hidden(box, *span, pieces):
        return False
    u, v, depth = project(camera, _corners(box, *span, place))
    if np.all(depth <= 1e-6):
        return False
    if np.any(depth <= 1e-6):
        return True
    across = u.max() > -0.5 and u.min() < 0.5
    return bool(across and v.max() > -camera.half_height and v.min() < camera.half_height)


def _subject_price(
    framing: Framing, box: Piece, span: tuple[float, float], camera: Camera
) -> float:
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    u, v, depth = project(camera, _corners(box, *span, place))
    if span[0] > span[1] or np.any(depth <= 1e-6):
        return 100.0
    tall, border = camera.half_height, framing.border_frac
    inside = u.min() >= border - 0.5 and u.max() <= 0.5 - border
    inside = inside and v.max() >= -tall and v.min() <= tall
    price = 100.0 * (not inside)
    if framing.room_above_frac > 0.0:
        price += 100.0 * (v.min() < -tall + 2.0 * tall * framing.room_above_frac)
    if framing.subject_place is not None:
        side, down, miss = framing.subject_place
        off = abs((u.min() + u.max()) / 2.0 - side)
        missed = off > miss or (down is not None and abs(v.max() - down) > miss)
        price += 100.0 * missed + 0.1 * off
    return float(price)


def _span_price(
    survey: Survey,
    framing: Framing,
    pieces: list[Piece],
    *,
    camera: Camera,
    base: float,
    parting: tuple[tuple[str, str], ...],
) -> float:
    yaw, pitch = math.radians(camera.yaw_deg), math.radians(camera.pitch_deg)
    half = math.atan(0.5 / (camera.focal_in_widths * math.cos(pitch)))
    by_name = {
        name: _level([one for one in pieces if one.name == name], base)
        for name in index_of(survey)
    }
    price = 0.0
    for trunk in survey.trunks:
        left, right = by_name[trunk.name]
        price += 0.02 * sum(left < border < right for border in (yaw - half, yaw + half))
    names = {name for pair in parting for name in pair}
    if names:
        left = min(by_name[name][0] for name in names)
        right = max(by_name[name][1] for name in names)
        price += 100.0 * (left < yaw - half or right > yaw + half)
        if framing.subject_place is None:
            price += 0.1 * abs((left + right) / 2.0 - yaw) / half
    return price
