"""The search for a stand point: our kernel against the same scores in NumPy, in one run.

Two peers give the same scores with array operations: one scores a view at a time over all
elements; the other shares its work as we do (edges and gaps once a place, all aims and lenses at
once by broadcasting). Rates are also given for each second of one core, as other work may load
the machine. It fails where a score differs or the first peer is less than 25 times slower.
"""

import sys
import time

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, IntArray
from shivelight.scene._view_scores import Views
from shivelight.scene._wish_boxes import Wish, Wood
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Role, Segment, SkyHole, Survey, trunk_at
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.search import places_of, score_candidates, views_of, wish_of, wood_of

TURN = 2.0 * np.pi
REACH = Reach(
    left_m=1.0, right_m=1.0, forward_m=1.0, back_m=0.9, step_m=0.1, low_m=0.9, high_m=1.5,
    height_step_m=0.3, turn_deg=14.75, turn_step_deg=0.5, tilt_deg=2.0, tilt_step_deg=2.0,
)  # fmt: skip
LENSES_MM = (24.0, 35.0, 50.0, 70.0, 100.0)
MARK = Camera(z_m=1.2)


def a_wood() -> Survey:
    """200 elements: 150 upright trunks, 30 steep branches that intrude, 20 sky holes."""
    random = np.random.default_rng(8)
    trunks = tuple(
        trunk_at(
            f"trunk {number}",
            (number * 29.7) % 80.0 - 40.0,
            distance_m=4.0 + 0.5 * number,
            width_m=float(random.uniform(0.1, 0.6)),
            role=Role.SUBJECT if number == 10 else Role.COMPANION,
        )
        for number in range(150)
    )
    branches = tuple(
        Segment(
            name=f"branch {number}",
            start_m=(x, y, 1.0),
            end_m=(x, y, 2.5),
            width_m=0.03,
        )
        for number, (x, y) in enumerate(random.uniform([-3.0, 2.5], [3.0, 9.0], (30, 2)))
    )
    holes = tuple(
        SkyHole(
            name=f"hole {number}",
            angle_deg=float(random.uniform(-25.0, 25.0)),
            altitude_deg=float(random.uniform(2.0, 20.0)),
            width_deg=1.0,
            height_deg=1.0,
        )
        for number in range(20)
    )
    return Survey(trunks=trunks, segments=branches, holes=holes)


def numpy_scores(wood: Wood, wish: Wish, views: Views) -> FloatArray:
    """Scores of upright pieces, one a element, with array operations only."""
    low, high = wood.solids.low_m, wood.solids.high_m
    if np.any(low[:, :2] != high[:, :2]) or np.any(np.diff(wood.solids.first) != 1):
        raise ValueError("the peer knows upright pieces only")
    counts = (len(views.turns_rad), len(views.tilts_rad), len(views.focal_widths))
    out = np.empty((len(views.places_m), *counts))
    for number in range(len(out)):
        out[number] = one_place(wood, wish, views, number=number)
    return out


def one_place(wood: Wood, wish: Wish, views: Views, *, number: int) -> FloatArray:
    place = views.places_m[number]
    low, high = wood.solids.low_m - place, wood.solids.high_m - place
    away = np.hypot(low[:, 0], low[:, 1])
    middle = np.arctan2(low[:, 0], low[:, 1])
    half = np.arcsin(wood.solids.radius_m / away)
    edges = np.stack([middle - half, middle + half, low[:, 2] / away, high[:, 2] / away], axis=1)
    worth = smallest_deg(edges, wish) - views.place_price_deg[number]
    if len(wish.keeps):
        raise ValueError("the peer keeps no overlaps")
    seen = wood.holes_m - place
    far = np.hypot(seen[:, 0], seen[:, 1])
    bearing, rise = np.arctan2(seen[:, 0], seen[:, 1]), np.arctan2(seen[:, 2], far)
    across, up = wood.holes_rad.T
    sky = np.stack(
        [bearing - across, bearing + across, np.tan(rise - up), np.tan(rise + up)], axis=1
    )
    boxes = np.concatenate([edges, sky])[wish.boxes]
    boxes[:, 2] = np.maximum(boxes[:, 2], wish.numbers[2])
    boxes[:, 3] = np.minimum(boxes[:, 3], wish.numbers[3])
    shown = boxes[:, 2] <= boxes[:, 3]
    keep = wish.subject + wish.whole
    off = np.concatenate([away, far])[wish.boxes]
    shown[keep:] &= ~hidden(boxes[keep:], off[keep:], edges=edges, away=away)
    yaw = views.base_yaw_rad[number] + views.turns_rad
    price = box_prices(boxes, shown, wish, views=views, yaw=yaw)
    price += span_prices(edges, wood, wish, views=views, yaw=yaw)
    return np.asarray(worth - price - views.lens_price_deg)


def smallest_deg(edges: FloatArray, wish: Wish) -> float:
    one, other = edges[wish.pairs[:, 0]], edges[wish.pairs[:, 1]]
    low = np.maximum(np.maximum(one[:, 2], other[:, 2]), wish.numbers[0])
    high = np.minimum(np.minimum(one[:, 3], other[:, 3]), wish.numbers[1])
    gap = np.maximum(other[:, 0] - one[:, 1], one[:, 0] - other[:, 1])
    return min(90.0, float(np.degrees(np.min(np.where(low <= high, gap, np.inf)))))


def hidden(
    boxes: FloatArray, off: FloatArray, *, edges: FloatArray, away: FloatArray
) -> BoolArray:
    covers = (edges[:, 0] <= boxes[:, None, 0]) & (edges[:, 1] >= boxes[:, None, 1])
    covers &= (edges[:, 2] <= boxes[:, None, 2]) & (edges[:, 3] >= boxes[:, None, 3])
    found: BoolArray = np.any(covers & (away < off[:, None]), axis=1)
    return found


def box_prices(
    boxes: FloatArray, shown: BoolArray, wish: Wish, *, views: Views, yaw: FloatArray
) -> FloatArray:
    tangent = boxes[:, [2, 2, 3, 3]]
    turned = boxes[:, [0, 1, 0, 1]] - yaw[:, None, None, None]
    level, rise = np.cos(views.tilts_rad), np.sin(views.tilts_rad)
    level, rise = level[:, None, None], rise[:, None, None]
    ahead = np.cos(turned)
    depth = ahead * level + tangent * rise
    if np.any(depth <= 1e-6):
        raise ValueError("the peer sees only what is ahead")
    u, v = np.sin(turned) / depth, (ahead * rise - tangent * level) / depth
    focal = views.focal_widths[:, None]
    left, right = u.min(axis=-1)[:, :, None] * focal, u.max(axis=-1)[:, :, None] * focal
    top, bottom = v.min(axis=-1)[:, :, None] * focal, v.max(axis=-1)[:, :, None] * focal
    border, room, tall = wish.numbers[4], wish.numbers[5], wish.numbers[9]
    if room or not np.isnan(wish.numbers[6]) or wish.whole:
        raise ValueError("the peer wishes the subject inside, no more")
    price = np.zeros(left.shape[:3])
    if wish.subject:
        inside = (
            (left >= border - 0.5) & (right <= 0.5 - border) & (bottom >= -tall) & (top <= tall)
        )
        price += 100.0 * ~inside[..., 0]
    first = wish.subject + wish.whole
    frame = (right > -0.5) & (left < 0.5) & (bottom > -tall) & (top < tall) & shown
    return np.asarray(price + 0.2 * frame[..., first:].sum(axis=-1))


def span_prices(
    edges: FloatArray, wood: Wood, wish: Wish, *, views: Views, yaw: FloatArray
) -> FloatArray:
    half = np.arctan(0.5 / (views.focal_widths * np.cos(views.tilts_rad)[:, None]))
    lefts, rights = np.sort(edges[: wood.trunks, 0]), np.sort(edges[: wood.trunks, 1])
    aim = yaw[:, None, None]
    price = np.zeros((len(yaw), *half.shape))
    for border in (aim - half, aim + half):
        begun = np.searchsorted(lefts, border, side="left")
        price += 0.02 * (begun - np.searchsorted(rights, border, side="right"))
    left, right = edges[wish.parting, 0].min(), edges[wish.parting, 1].max()
    price += 100.0 * ((left < aim - half) | (right > aim + half))
    return np.asarray(price + 0.1 * np.abs((left + right) / 2.0 - aim) / half)


def timed(wood: Wood, wish: Wish, views: Views, *, peer: bool) -> tuple[float, float, FloatArray]:
    """Best wall time and CPU time over all threads of some runs, and the scores."""
    wall_s, cpu_s, scores = np.inf, np.inf, np.empty(0)
    for _ in range(2 if peer else 4):
        start, used = time.perf_counter(), time.process_time()
        scores = numpy_scores(wood, wish, views) if peer else score_candidates(wood, wish, views)
        wall_s = min(wall_s, time.perf_counter() - start)
        cpu_s = min(cpu_s, time.process_time() - used)
    return float(wall_s), float(cpu_s), scores


def only(views: Views, rows: IntArray) -> Views:
    return views._replace(
        places_m=views.places_m[rows],
        place_price_deg=views.place_price_deg[rows],
        base_yaw_rad=views.base_yaw_rad[rows],
    )


def one_view_at_a_time(wood: Wood, wish: Wish, views: Views) -> tuple[float, FloatArray]:
    """Give views a second of CPU with array operations over elements and nothing shared."""
    scores, start = [], time.process_time()
    for turn, tilt, lens in np.ndindex(len(views.turns_rad), len(views.tilts_rad), 5):
        single = views._replace(
            turns_rad=views.turns_rad[turn : turn + 1],
            tilts_rad=views.tilts_rad[tilt : tilt + 1],
            focal_widths=views.focal_widths[lens : lens + 1],
            lens_price_deg=views.lens_price_deg[lens : lens + 1],
        )
        scores.append(numpy_scores(wood, wish, single).ravel())
    found = np.stack(scores, axis=1).reshape(len(views.places_m), len(views.turns_rad), -1, 5)
    return found.size / (time.process_time() - start), found


def main() -> int:
    survey = a_wood()
    pairs = tuple((f"trunk {n}", f"trunk {n + 1}") for n in range(40))
    wood = wood_of(survey)
    failed = 0
    for name, framing in (
        ("every two of the trunks in the frame", Framing(focal_lengths_mm=LENSES_MM)),
        ("40 named pairs", Framing(focal_lengths_mm=LENSES_MM, parts=pairs)),
    ):
        wish = wish_of(survey, framing, REACH, now=MARK)
        places, _ = places_of(REACH, MARK, survey)
        views = views_of(places, wish, wood=wood, framing=framing, reach=REACH, now=MARK)
        score_candidates(wood, wish, only(views, np.arange(1)))  # compile
        wall_s, cpu_s, ours = timed(wood, wish, views, peer=False)
        some, few = np.arange(0, len(places), 12), np.arange(0, len(places), 600)
        _, peer_s, shared = timed(wood, wish, only(views, some), peer=True)
        plain_rate, plain = one_view_at_a_time(wood, wish, only(views, few))
        off = max(np.abs(ours[some] - shared).max(), np.abs(ours[few] - plain).max())
        rate, peer_rate = ours.size / cpu_s, shared.size / peer_s
        print(
            f"{name} part ({len(wish.pairs)} pairs), {len(survey.names)} elements, "
            f"{len(places)} places x {ours[0].size} aims and lenses:\n"
            f"  ours {ours.size / wall_s / 1e6:.2f} M views a second on the clock, "
            f"{rate / 1e6:.2f} M a second of one core\n"
            f"  NumPy, a view at a time: {plain_rate / 1e3:.1f} k a second of one core, "
            f"ratio {rate / plain_rate:.0f}\n"
            f"  NumPy, sharing work as we do: {peer_rate / 1e3:.0f} k, "
            f"ratio {rate / peer_rate:.1f}\n"
            f"  largest difference of a score {off:.1e}"
        )
        failed |= off > 1e-9 or rate < 25.0 * plain_rate
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
