"""Fields of bodies of any form by other models than those in the program, which sums surface charges.

Turned bodies: loops of bound current, in extended precision, inside and near edges too.
Discs magnetised across: bound surface currents on side and faces, in extended precision.
Arcs, and rings, blocks and spheres turned in space: point dipoles summed over the volume by Gauss-Legendre panels.

Writes bodies.jsonl: a request as `lodewright compute` takes it, the field it must give, and the allowed relative difference.
Usage: python bodies.py > bodies.jsonl
"""

import json

import mpmath as mp
import numpy as np
from scipy.spatial.transform import Rotation

mp.mp.dps = 30


def turned_by_loops(profile, rho, z):
    """B (radial, axial) at 1 T along the axis: every side of a counter-clockwise outline carries dz of loop current."""
    rho, z = mp.mpf(rho), mp.mpf(z)

    def loop(r, w):
        far2, near2 = (r + rho) ** 2 + w * w, (r - rho) ** 2 + w * w
        m = 4 * r * rho / far2
        e, k = mp.ellipe(m), mp.ellipk(m)
        axial = (k + (r * r - rho * rho - w * w) / near2 * e) / (2 * mp.pi * mp.sqrt(far2))
        if rho == 0:
            return mp.mpf(0), axial
        radial = w * (-k + (r * r + rho * rho + w * w) / near2 * e) / (2 * mp.pi * rho * mp.sqrt(far2))
        return radial, axial

    total = [mp.mpf(0), mp.mpf(0)]
    for (r0, z0), (r1, z1) in zip(profile, profile[1:] + profile[:1]):
        r0, z0, r1, z1 = map(mp.mpf, (r0, z0, r1, z1))
        if z0 == z1 or (r0 == 0 and r1 == 0):
            continue
        ur, uz = r1 - r0, z1 - z0
        size = mp.sqrt(ur * ur + uz * uz)
        nearest = min(max(((rho - r0) * ur + (z - z0) * uz) / size**2, mp.mpf(0)), mp.mpf(1))
        gap = mp.sqrt((rho - r0 - nearest * ur) ** 2 + (z - z0 - nearest * uz) ** 2) / size
        breaks = {mp.mpf(0), mp.mpf(1), nearest}
        step = max(gap, mp.mpf("1e-8"))
        while step < 1:
            breaks |= {t for t in (nearest - step, nearest + step) if 0 < t < 1}
            step *= 3
        for i in (0, 1):
            total[i] += uz * mp.quad(lambda t: loop(r0 + t * ur, z - z0 - t * uz)[i] if r0 + t * ur > 0 else mp.mpf(0), sorted(breaks))
    return total


def across_by_currents(radius, half, point):
    """B of a disc at 1 T along x, from the current sin(phi) up its side and the straight currents across its faces."""
    x, y, z = (mp.mpf(c) for c in point)
    radius, half = mp.mpf(radius), mp.mpf(half)

    def side(phi, part):
        dx, dy = x - radius * mp.cos(phi), y - radius * mp.sin(phi)
        s2 = dx * dx + dy * dy
        top, bottom = z - half, z + half
        ends = (bottom / mp.sqrt(s2 + bottom**2) - top / mp.sqrt(s2 + top**2)) / s2
        return radius * mp.sin(phi) * ends * (-dy if part == "x" else dx)

    azimuth = mp.atan2(y, x)
    breaks = [azimuth + k * mp.pi / 4 for k in range(9)]
    bx = mp.quad(lambda p: side(p, "x"), breaks)
    by = mp.quad(lambda p: side(p, "y"), breaks)

    # Faces: current -y on top, +y below; summed along y in closed form, then across.
    def face(height, part):
        w = z - height

        def strip(theta):
            u = radius * mp.sin(theta)
            dx = x - u
            q2 = dx * dx + w * w
            reach = radius * mp.cos(theta)
            lo, hi = y - reach, y + reach
            ends = (hi / mp.sqrt(q2 + hi * hi) - lo / mp.sqrt(q2 + lo * lo)) / q2
            # y-hat x (dx, ., w) = (w, 0, -dx)
            return ends * (w if part == "x" else -dx) * reach

        near = mp.asin(min(max(x / radius, mp.mpf(-1)), mp.mpf(1)))
        cuts = sorted({-mp.pi / 2, near, mp.pi / 2, *(mp.pi * k / 8 for k in range(-3, 4))})
        return mp.quad(strip, cuts)

    bx += -face(half, "x") + face(-half, "x")
    bz = -face(half, "z") + face(-half, "z")
    return [b / (4 * mp.pi) for b in (bx, by, bz)]


def dipoles(points, moments, at):
    d = np.asarray(at) - points
    r = np.linalg.norm(d, axis=1)
    along = np.sum(moments * d, axis=1)
    return np.sum(3 * along[:, None] * d / r[:, None] ** 5 - moments / r[:, None] ** 3, axis=0) / (4 * np.pi)


def panels(low, high, count, order=12):
    t, w = np.polynomial.legendre.leggauss(order)
    edges = np.linspace(low, high, count + 1)
    x = np.concatenate([(a + b) / 2 + (b - a) / 2 * t for a, b in zip(edges, edges[1:])])
    return x, np.concatenate([(b - a) / 2 * w for a, b in zip(edges, edges[1:])])


def product(*axes):
    grids = np.meshgrid(*(a[0] for a in axes), indexing="ij")
    weights = np.meshgrid(*(a[1] for a in axes), indexing="ij")
    return [g.ravel() for g in grids], np.prod([w.ravel() for w in weights], axis=0)


def volume(body):
    """Points and moments of a body in its own frame."""
    j = np.array(body.get("polarisation_T", [0, 0, 0]), float)
    if body["shape"] == "block":
        (x, y, z), w = product(*(panels(-s / 2, s / 2, 6) for s in body["size_mm"]))
        return np.stack([x, y, z], 1), w[:, None] * j
    inner, outer, angle = body.get("inner_diameter_mm", 0) / 2, body.get("outer_diameter_mm", body.get("diameter_mm", 0)) / 2, np.radians(body.get("angle_deg", 360))
    half = body.get("thickness_mm", 0) / 2
    if body["shape"] == "sphere":
        (r, c, phi), w = product(panels(0, outer, 4), panels(-1, 1, 6), panels(-np.pi, np.pi, 12))
        s = np.sqrt(1 - c * c)
        return np.stack([r * s * np.cos(phi), r * s * np.sin(phi), r * c], 1), (w * r * r)[:, None] * j
    (r, phi, z), w = product(panels(inner, outer, 4), panels(-angle / 2, angle / 2, 12), panels(-half, half, 4))
    w = w * r
    moments = w[:, None] * j
    if "radial_polarisation_T" in body:
        moments = (w * body["radial_polarisation_T"])[:, None] * np.stack([np.cos(phi), np.sin(phi), 0 * phi], 1)
    return np.stack([r * np.cos(phi), r * np.sin(phi), z], 1), moments


def by_volume(body, at):
    turn = Rotation.from_rotvec(body.get("rotation_vector_rad", [0, 0, 0]))
    points, moments = volume(body)
    return dipoles(turn.apply(points) + np.array(body.get("centre_mm", [0, 0, 0])), turn.apply(moments), at)


def show(body, point, field, tolerance):
    request = {"want": "B", "bodies": [body], "points_mm": [point]}
    print(json.dumps({"request": request, "B_T": [float(b) for b in field], "tolerance": tolerance}))


def main():
    axial = [0, 0, 1]
    frustum = {"shape": "frustum", "bottom_diameter_mm": 20, "top_diameter_mm": 10, "thickness_mm": 8, "polarisation_T": axial}
    sunk = {"shape": "countersunk", "outer_diameter_mm": 20, "hole_diameter_mm": 4.5, "sink_diameter_mm": 9, "sink_depth_mm": 2.25, "thickness_mm": 5, "polarisation_T": axial}
    spool = [[2, -4], [9, -4], [6, 0], [9, 4], [4, 4]]
    turned = {"shape": "turned", "profile_mm": spool, "polarisation_T": axial}
    point = [[0, 0], [6, 3], [2, 7]]
    tip = {"shape": "turned", "profile_mm": point, "polarisation_T": axial}
    outlines = [
        (frustum, [[0, -4], [10, -4], [5, 4], [0, 4]]),
        (sunk, [["2.25", "-2.5"], [10, "-2.5"], [10, "2.5"], ["4.5", "2.5"], ["2.25", "0.25"]]),
        (turned, spool),
        (tip, point),
    ]
    for body, outline in outlines:
        for rho, z, tol in [
            (0, 4.5, 1e-10), (0, 12, 1e-10), (3, 5.5, 1e-10), (8.5, 1, 1e-10), (4, 1.5, 1e-10), (12, -3, 1e-10), (7, -4.5, 1e-10), (1, 1.25, 1e-10),
            (40, 30, 1e-10), (70, 60, 1e-10), (16000, 12000, 1e-8),
        ]:
            v = turned_by_loops(outline, rho, z)
            show(body, [rho, 0, z], [v[0], 0, v[1]], tol)
        # A micrometre off every corner that is not on the axis.
        for r, z in outline:
            r, z = float(r), float(z)
            if r > 0:
                v = turned_by_loops(outline, r + 0.0008, z + 0.0006)
                show(body, [r + 0.0008, 0, z + 0.0006], [v[0], 0, v[1]], 1e-8)

    across = {"shape": "disc", "diameter_mm": 10, "thickness_mm": 10, "polarisation_T": [1, 0, 0]}
    for p, tol in [
        ([7, 3, 3], 1e-10), ([1, 0.5, 0.25], 1e-10), ([0.01, 0.02, 6], 1e-10), ([4, 2, 5.5], 1e-10), ([4.9, 0.5, 4.9], 1e-10), ([0, 6, 1], 1e-10),
        ([20, 15, 10], 1e-10), ([45, 40, 30], 1e-10), ([70, 40, 50], 1e-10), ([5.0006, 0, 5.0008], 1e-8), ([6000, 3000, 7000], 1e-8),
    ]:
        show(across, p, across_by_currents(5, 5, p), tol)
    thin = {"shape": "disc", "diameter_mm": 20, "thickness_mm": 1, "polarisation_T": [1, 0, 0]}
    for p in [[8, 3, 1], [11, 2, 0.25], [2, 1, 2], [60, 30, 10]]:
        show(thin, p, across_by_currents(10, 0.5, p), 1e-10)

    arc = {"shape": "arc", "outer_diameter_mm": 40, "inner_diameter_mm": 30, "angle_deg": 60, "thickness_mm": 10}
    any_way = [0.5, -0.8, 1.1]
    bodies = [
        {**arc, "polarisation_T": any_way},
        {**arc, "radial_polarisation_T": 1.2, "centre_mm": [1, 2, 3], "rotation_vector_rad": [0.4, -0.7, 1.1]},
        {**arc, "angle_deg": 300, "polarisation_T": any_way},
        {"shape": "ring", "outer_diameter_mm": 20, "inner_diameter_mm": 10, "thickness_mm": 5, "polarisation_T": any_way, "centre_mm": [3, -2, 1], "rotation_vector_rad": [1, 0.5, -0.3]},
        {"shape": "block", "size_mm": [20, 10, 5], "polarisation_T": any_way, "centre_mm": [3, -2, 1], "rotation_vector_rad": [-1, 0.5, 2.3]},
        {"shape": "sphere", "diameter_mm": 8, "polarisation_T": any_way, "centre_mm": [3, -2, 1], "rotation_vector_rad": [-1, 0.5, 2.3]},
    ]
    for body in bodies:
        for p in [[25, 18, 12], [-24, 10, -20], [0, 4, 26], [60, -80, 30], [150, 260, -80]]:
            show(body, p, by_volume(body, p), 1e-10)


if __name__ == "__main__":
    main()
