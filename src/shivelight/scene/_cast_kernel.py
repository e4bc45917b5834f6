"""Compiled loops of the ray-caster: the ground, round pieces, holes, tone, shafts of light.

A ray is ``eye + t (x right + y down + forward)``, so that ``t`` is the depth along the lens axis.
``x`` and ``y`` are given for each pixel, distortion already taken out.
"""

import math

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray, kernel

GROUND_ID, SKY_ID = -1, -2


@kernel
def cone_depth(
    eye_m: FloatArray, ray: FloatArray, foot_m: FloatArray, axis: FloatArray, shape_m: FloatArray
) -> float:
    """Depth at which a ray first meets a cut cone with flat ends; infinite where it does not.

    ``shape_m`` is length, radius at the foot, radius at the top.
    """
    length, at_foot, at_top = shape_m[0], shape_m[1], shape_m[2]
    slope = (at_top - at_foot) / length
    ox, oy, oz = eye_m[0] - foot_m[0], eye_m[1] - foot_m[1], eye_m[2] - foot_m[2]
    o_along = ox * axis[0] + oy * axis[1] + oz * axis[2]
    r_along = ray[0] * axis[0] + ray[1] * axis[1] + ray[2] * axis[2]
    r_r = ray[0] * ray[0] + ray[1] * ray[1] + ray[2] * ray[2]
    o_r = ox * ray[0] + oy * ray[1] + oz * ray[2]
    o_o = ox * ox + oy * oy + oz * oz
    wide = at_foot + slope * o_along
    a = r_r - r_along * r_along * (1.0 + slope * slope)
    b = o_r - r_along * o_along - slope * r_along * wide
    c = o_o - o_along * o_along - wide * wide
    best = math.inf
    inside = b * b - a * c
    if a != 0.0 and inside >= 0.0:
        root = math.sqrt(inside)
        for sign in (-1.0, 1.0):
            t = (-b + sign * root) / a
            along = o_along + t * r_along
            if 0.0 < t < best and 0.0 <= along <= length and at_foot + slope * along >= 0.0:
                best = t
    if r_along != 0.0:
        for end in range(2):
            reach = length if end else 0.0
            radius = at_top if end else at_foot
            t = (reach - o_along) / r_along
            off = o_o + 2.0 * t * o_r + t * t * r_r - reach * reach
            if 0.0 < t < best and off <= radius * radius:
                best = t
    return float(best)


@kernel
def ball_depth(eye_m: FloatArray, ray: FloatArray, centre_m: FloatArray, radius_m: float) -> float:
    """Depth at which a ray first meets a ball; infinite where it does not."""
    ox, oy, oz = eye_m[0] - centre_m[0], eye_m[1] - centre_m[1], eye_m[2] - centre_m[2]
    a = ray[0] * ray[0] + ray[1] * ray[1] + ray[2] * ray[2]
    b = ox * ray[0] + oy * ray[1] + oz * ray[2]
    c = ox * ox + oy * oy + oz * oz - radius_m * radius_m
    inside = b * b - a * c
    if inside < 0.0:
        return math.inf
    root = math.sqrt(inside)
    for sign in (-1.0, 1.0):
        t = (-b + sign * root) / a
        if t > 0.0:
            return float(t)
    return math.inf


@kernel
def patch_depth(
    eye_m: FloatArray, ray: FloatArray, centre_m: FloatArray, right_m: FloatArray, up_m: FloatArray
) -> float:
    """Depth at which a ray meets an oval patch, given by its half axes; infinite elsewhere."""
    nx = right_m[1] * up_m[2] - right_m[2] * up_m[1]
    ny = right_m[2] * up_m[0] - right_m[0] * up_m[2]
    nz = right_m[0] * up_m[1] - right_m[1] * up_m[0]
    across = ray[0] * nx + ray[1] * ny + ray[2] * nz
    if across == 0.0:
        return math.inf
    cx, cy, cz = centre_m[0] - eye_m[0], centre_m[1] - eye_m[1], centre_m[2] - eye_m[2]
    t = (cx * nx + cy * ny + cz * nz) / across
    if t <= 0.0:
        return math.inf
    px, py, pz = t * ray[0] - cx, t * ray[1] - cy, t * ray[2] - cz
    u = (px * right_m[0] + py * right_m[1] + pz * right_m[2]) / (
        right_m[0] * right_m[0] + right_m[1] * right_m[1] + right_m[2] * right_m[2]
    )
    v = (px * up_m[0] + py * up_m[1] + pz * up_m[2]) / (
        up_m[0] * up_m[0] + up_m[1] * up_m[1] + up_m[2] * up_m[2]
    )
    return t if u * u + v * v <= 1.0 else math.inf


@kernel
def fill_ground(
    eye_m: FloatArray,
    axes: FloatArray,
    x: FloatArray,
    y: FloatArray,
    rise_frac: FloatArray,
    depth_m: FloatArray,
    element: IntArray,
) -> None:
    """Write depth and name of the sloping ground into every pixel that sees it."""
    above = eye_m[2] - rise_frac[0] * eye_m[0] - rise_frac[1] * eye_m[1]
    falls = axes[:, 2] - rise_frac[0] * axes[:, 0] - rise_frac[1] * axes[:, 1]
    for row in range(depth_m.shape[0]):
        for column in range(depth_m.shape[1]):
            fall = x[row, column] * falls[0] + y[row, column] * falls[1] + falls[2]
            if fall < 0.0:
                depth_m[row, column] = -above / fall
                element[row, column] = GROUND_ID


@kernel
def fill_pieces(
    eye_m: FloatArray,
    axes: FloatArray,
    x: FloatArray,
    y: FloatArray,
    kinds: IntArray,
    pieces: FloatArray,
    boxes: IntArray,
    depth_m: FloatArray,
    element: IntArray,
    piece: IntArray,
) -> None:
    """Write each piece into the pixels of its box that see it before anything nearer.

    ``kinds`` holds the kind (0 cone, 1 ball, 2 patch) and the element of each piece; ``pieces``
    nine numbers: three points or directions, the last one a shape.
    """
    ray = np.empty(3)
    for number in range(kinds.shape[0]):
        first, second, third = pieces[number, 0:3], pieces[number, 3:6], pieces[number, 6:9]
        for row in range(boxes[number, 0], boxes[number, 1]):
            for column in range(boxes[number, 2], boxes[number, 3]):
                for part in range(3):
                    ray[part] = (
                        x[row, column] * axes[0, part]
                        + y[row, column] * axes[1, part]
                        + axes[2, part]
                    )
                if kinds[number, 0] == 0:
                    t = cone_depth(eye_m, ray, first, second, third)
                elif kinds[number, 0] == 1:
                    t = ball_depth(eye_m, ray, first, third[0])
                else:
                    t = patch_depth(eye_m, ray, first, second, third)
                if t < depth_m[row, column]:
                    depth_m[row, column] = t
                    element[row, column] = kinds[number, 1]
                    piece[row, column] = number


@kernel
def is_shaded(point_m: FloatArray, sun: FloatArray, kinds: IntArray, pieces: FloatArray) -> bool:
    """Whether a trunk or branch stands between a point and the sun; ends are taken as round."""
    for number in range(kinds.shape[0]):
        if kinds[number, 0] != 0:
            continue
        axis = pieces[number, 3:6]
        length = pieces[number, 6]
        radius = pieces[number, 8]
        wx = pieces[number, 0] - point_m[0]
        wy = pieces[number, 1] - point_m[1]
        wz = pieces[number, 2] - point_m[2]
        w_s = wx * sun[0] + wy * sun[1] + wz * sun[2]
        a_s = axis[0] * sun[0] + axis[1] * sun[1] + axis[2] * sun[2]
        w_a = wx * axis[0] + wy * axis[1] + wz * axis[2]
        flat = 1.0 - a_s * a_s
        along = 0.0 if flat < 1e-12 else (w_s * a_s - w_a) / flat
        along = min(max(along, 0.0), length)
        ahead = w_s + along * a_s
        if ahead <= radius:
            continue
        off = wx * wx + wy * wy + wz * wz + 2.0 * along * w_a + along * along - ahead * ahead
        if off <= radius * radius:
            return True
    return False


@kernel
def fill_air(
    eye_m: FloatArray,
    axes: FloatArray,
    x: FloatArray,
    y: FloatArray,
    depth_m: FloatArray,
    kinds: IntArray,
    pieces: FloatArray,
    sun: FloatArray,
    light: FloatArray,
    through_frac: FloatArray,
    air: FloatArray,
) -> None:
    """Write what mist lets through, and the light it adds, with the trunks' shadows in it.

    ``light`` is extinction, the even light, the sun's light at right angles to the view, the
    forward bias of the drops, and how many places along a ray are looked at; no sun is looked at
    when the sun's light is nought. Places lie at even steps of what is let through.
    """
    per_m, even, direct, bias, steps = light[0], light[1], light[2], light[3], int(light[4])
    point_m, ray = np.empty(3), np.empty(3)
    for row in range(depth_m.shape[0]):
        for column in range(depth_m.shape[1]):
            long2 = 0.0
            for part in range(3):
                ray[part] = (
                    x[row, column] * axes[0, part] + y[row, column] * axes[1, part] + axes[2, part]
                )
                long2 += ray[part] * ray[part]
            unit = math.sqrt(long2)
            left = math.exp(-per_m * depth_m[row, column] * unit)
            through_frac[row, column] = left
            sunlit = 0.0
            if direct > 0.0 and left < 1.0:
                toward = (ray[0] * sun[0] + ray[1] * sun[1] + ray[2] * sun[2]) / unit
                lobe = ((1.0 + bias * bias) / (1.0 + bias * bias - 2.0 * bias * toward)) ** 1.5
                # an ordered start for each pixel, so that steps do not show as bands
                start = ((row * 5 + column * 3) % 8 + 0.5) / 8.0
                seen = 0
                for step in range(steps):
                    share = (step + start) / steps
                    t = -math.log(1.0 - share * (1.0 - left)) / per_m / unit
                    for part in range(3):
                        point_m[part] = eye_m[part] + t * ray[part]
                    if not is_shaded(point_m, sun, kinds, pieces):
                        seen += 1
                sunlit = direct * lobe * seen / steps
            air[row, column] = (even + sunlit) * (1.0 - left)


@kernel
def normal_at(
    point_m: FloatArray, kind: int, numbers: FloatArray, ground: FloatArray, normal: FloatArray
) -> None:
    """Write the unit direction straight out of a surface; kind -1 is the ground."""
    along = 0.0
    if kind == 0:
        for part in range(3):
            along += (point_m[part] - numbers[part]) * numbers[3 + part]
    is_top = kind == 0 and along >= numbers[6] - 1e-9
    size = 0.0
    for part in range(3):
        if kind < 0:
            normal[part] = ground[part]
        elif is_top:
            normal[part] = numbers[3 + part]
        else:
            normal[part] = point_m[part] - numbers[part] - along * numbers[3 + part]
        size += normal[part] * normal[part]
    for part in range(3):
        normal[part] /= math.sqrt(size)


@kernel
def fill_facing(
    eye_m: FloatArray,
    axes: FloatArray,
    x: FloatArray,
    y: FloatArray,
    depth_m: FloatArray,
    piece: IntArray,
    kinds: IntArray,
    pieces: FloatArray,
    sun: FloatArray,
    ground: FloatArray,
    facing_frac: FloatArray,
) -> None:
    """Write how squarely each surface faces the sun; nought where something shades it."""
    point_m, normal = np.empty(3), np.empty(3)
    for row in range(depth_m.shape[0]):
        for column in range(depth_m.shape[1]):
            facing_frac[row, column] = 0.0
            number = piece[row, column]
            kind = kinds[number, 0] if number >= 0 else -1
            if kind == 2 or math.isinf(depth_m[row, column]):
                continue
            for part in range(3):
                ray = x[row, column] * axes[0, part] + y[row, column] * axes[1, part]
                point_m[part] = eye_m[part] + depth_m[row, column] * (ray + axes[2, part])
            normal_at(point_m, kind, pieces[max(number, 0)], ground, normal)
            toward = normal[0] * sun[0] + normal[1] * sun[1] + normal[2] * sun[2]
            if toward <= 0.0:
                continue
            for part in range(3):
                point_m[part] += 1e-4 * normal[part]
            if not is_shaded(point_m, sun, kinds, pieces):
                facing_frac[row, column] = toward
