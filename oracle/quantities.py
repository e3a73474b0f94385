"""Forces, torques, work, gradients, means and pulls by point dipoles over the volumes of the bodies, while the program sums surface charge.

Gauss-Legendre products in both bodies, which converge geometrically; a value is kept only if products of 10 and of 13 nodes agree to its tolerance,
so that that of 13 is better by far.
Fields of many bodies together, and of bodies a metre off the origin, come the same way.

Writes quantities.jsonl: a request as `lodewright compute` takes it, the key of the answer, its value and the allowed difference, relative to
the magnitude of the whole value. Usage: python quantities.py > quantities.jsonl
"""

import json

import numpy as np
from scipy.spatial.transform import Rotation

from bodies import panels, product

MU_0 = 4e-7 * np.pi
MM = 1e-3


def local(body, n):
    """Points (m) and moments (A m^2) of a body in its own frame, by rules of n nodes."""
    j = np.array(body.get("polarisation_T", [0, 0, 0]), float)
    shape = body["shape"]
    if shape == "block":
        (x, y, z), w = product(*(panels(-s / 2, s / 2, 1, n) for s in body["size_mm"]))
        return np.stack([x, y, z], 1) * MM, w[:, None] * j * MM**3 / MU_0
    angle = np.radians(body.get("angle_deg", 360))
    around = panels(-angle / 2, angle / 2, 2, n) if "angle_deg" in body else ((np.arange(3 * n) + 0.5) * 2 * np.pi / (3 * n), np.full(3 * n, 2 * np.pi / (3 * n)))
    if shape == "sphere":
        (r, c, phi), w = product(panels(0, body["diameter_mm"] / 2, 1, n), panels(-1, 1, 1, n), around)
        s = np.sqrt(1 - c * c)
        return np.stack([r * s * np.cos(phi), r * s * np.sin(phi), r * c], 1) * MM, (w * r * r)[:, None] * j * MM**3 / MU_0
    half = body["thickness_mm"] / 2
    (t, phi, z), w = product(panels(0, 1, 1, n), around, panels(-half, half, 1, n))
    if shape == "frustum":
        low, high = body["bottom_diameter_mm"] / 2, body["top_diameter_mm"] / 2
        inner, outer = 0 * z, low + (high - low) * (z + half) / (2 * half)
    else:
        inner, outer = body.get("inner_diameter_mm", 0) / 2 + 0 * z, body.get("outer_diameter_mm", body.get("diameter_mm", 0)) / 2 + 0 * z
    r = inner + t * (outer - inner)
    w = w * r * (outer - inner)
    moments = w[:, None] * j
    if "radial_polarisation_T" in body:
        moments = (w * body["radial_polarisation_T"])[:, None] * np.stack([np.cos(phi), np.sin(phi), 0 * phi], 1)
    return np.stack([r * np.cos(phi), r * np.sin(phi), z], 1) * MM, moments * MM**3 / MU_0


def placed(body, n):
    turn = Rotation.from_rotvec(body.get("rotation_vector_rad", [0, 0, 0]))
    points, moments = local(body, n)
    return turn.apply(points) + np.array(body.get("centre_mm", [0, 0, 0])) * MM, turn.apply(moments)


def together(bodies, n):
    parts = [placed(body, n) for body in bodies]
    return np.concatenate([p for p, _ in parts]), np.concatenate([m for _, m in parts])


def field_and_gradient(source, at):
    """B (T) and its gradient (rows dBi/dx, dBi/dy, dBi/dz) of dipoles at one point."""
    points, m = source
    d = at - points
    r2 = np.sum(d * d, 1)
    along = np.sum(m * d, 1)
    b = MU_0 / (4 * np.pi) * np.sum(3 * (along / r2**2.5)[:, None] * d - m / r2[:, None] ** 1.5, 0)
    scale = 3e-7 / r2**2.5
    outer = np.einsum("k,ki,kj->ij", scale, m, d) + np.einsum("k,ki,kj->ij", scale, d, m)
    g = outer + np.sum(scale * along) * np.eye(3) - 5 * np.einsum("k,ki,kj->ij", scale * along / r2, d, d)
    return b, g


def load(on, source, about):
    force, torque, energy = np.zeros(3), np.zeros(3), 0.0
    for p, m in zip(*on):
        b, g = field_and_gradient(source, p)
        f = m @ g
        force += f
        torque += np.cross(m, b) + np.cross(p - about, f)
        energy -= m @ b
    return force, torque, energy


def show(what, request, key, value, finer, tolerance):
    value, finer = np.asarray(value, float), np.asarray(finer, float)
    apart = np.linalg.norm(value - finer) / np.linalg.norm(finer)
    assert apart <= tolerance, (what, apart)
    print(json.dumps({"what": what, "request": request, "key": key, "value": finer.tolist(), "tolerance": tolerance}))


def main():
    any_way = [0.5, -0.8, 1.1]
    block = {"shape": "block", "size_mm": [12, 6, 4], "polarisation_T": any_way, "rotation_vector_rad": [0.3, -0.2, 0.5]}
    disc = {"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0.4, 0, 1], "centre_mm": [3, -2, 17], "rotation_vector_rad": [0.2, 0.6, 0]}
    ring = {"shape": "ring", "outer_diameter_mm": 14, "inner_diameter_mm": 8, "thickness_mm": 4, "polarisation_T": any_way, "centre_mm": [-20, 4, 5]}
    ball = {"shape": "sphere", "diameter_mm": 8, "polarisation_T": any_way, "centre_mm": [0, 18, -4]}
    frustum = {"shape": "frustum", "bottom_diameter_mm": 12, "top_diameter_mm": 6, "thickness_mm": 5, "polarisation_T": [0, 0, 1.2], "centre_mm": [2, 1, -17], "rotation_vector_rad": [0, 0.3, 0]}
    arc = {"shape": "arc", "outer_diameter_mm": 24, "inner_diameter_mm": 16, "angle_deg": 70, "thickness_mm": 6, "polarisation_T": any_way, "centre_mm": [14, 0, 0]}
    radial = {**{k: v for k, v in arc.items() if k != "polarisation_T"}, "radial_polarisation_T": 1.1, "rotation_vector_rad": [0.1, 0, 0.2], "centre_mm": [18, 2, 3]}
    low, high = 10, 13

    for on, source in [(disc, block), (block, ring), (frustum, block), (ball, disc), (arc, disc), (block, radial), (frustum, ring)]:
        about = np.array(on.get("centre_mm", [0, 0, 0])) * MM
        (f, t, e), (ff, tt, ee) = (load(placed(on, n), placed(source, n), about) for n in (low, high))
        request = {"want": "force", "on": on, "from": [source]}
        show("force", request, "force_N", f, ff, 1e-8)
        show("torque", request, "torque_Nm", t, tt, 1e-8)
        if on in (disc, ball, frustum):
            show("work to separate", {"want": "work", "on": on, "from": [source], "direction": list(map(float, about))}, "work_J", [-e], [-ee], 1e-6)

    everything = [block, disc, ring, ball, frustum, arc]
    for bodies in [[block], [disc], [ring], [ball], [frustum], [arc], [radial], everything]:
        point = [30, 24, 22]
        at = np.array(point) * MM
        (b, g), (bb, gg) = (field_and_gradient(together(bodies, n), at) for n in (low, high))
        name = "many bodies" if len(bodies) > 1 else bodies[0]["shape"]
        show(f"gradient, {name}", {"want": "gradient", "bodies": bodies, "points_mm": [point]}, "gradient_T_per_m", [g], [gg], 1e-8)
        if len(bodies) > 1:
            show("field, many bodies", {"want": "B", "bodies": bodies, "points_mm": [point]}, "B_T", [b], [bb], 1e-10)
        # A metre off the origin, in the same place to one another.
        off = np.array([600, -800, 0])
        moved = [{**body, "centre_mm": (np.array(body.get("centre_mm", [0, 0, 0])) + off).tolist()} for body in bodies]
        request = {"want": "B", "bodies": moved, "points_mm": [(np.array(point) + off).tolist()]}
        show(f"field a metre off the origin, {name}", request, "B_T", [b], [bb], 1e-10)
        x, w = panels(-1, 1, 1, 8)
        for element, side in [({"shape": "square", "side_mm": 3}, 1.5), ({"shape": "disc", "diameter_mm": 3}, 1.5)]:
            def mean(n):
                source, total = together(bodies, n), np.zeros(3)
                for u, wu in zip(x, w):
                    if element["shape"] == "square":
                        places = [(side * u, side * v, wu * wv / 4) for v, wv in zip(x, w)]
                    else:
                        r, angles = side * np.sqrt((u + 1) / 2), (np.arange(16) + 0.5) * np.pi / 8
                        places = [(r * np.cos(phi), r * np.sin(phi), wu / 32) for phi in angles]
                    for across, along, weight in places:
                        total += weight * field_and_gradient(source, at + np.array([across, along, 0]) * MM)[0]
                return total
            if len(bodies) == 1 and n_small(bodies[0]):
                show(f"mean over an element, {name}", {"want": "mean_B", "bodies": bodies, "points_mm": [point], "element": element}, "B_T", [mean(low)], [mean(high)], 1e-8)

    # The mirror image: z turned about, polarisation across it too.
    for body in [block, frustum, disc]:
        lifted = {**body, "centre_mm": [0, 0, 20]}

        def pull(n):
            points, moments = placed(lifted, n)
            return load((points, moments), (points * [1, 1, -1], moments * [-1, -1, 1]), np.zeros(3))[0][2]

        gap = bottom(lifted)
        show("pull on a plate", {"want": "plate_pull", "bodies": [lifted], "gap_mm": gap}, "force_N", [-pull(low)], [-pull(high)], 1e-8)


def n_small(body):
    return body["shape"] in ("block", "disc", "frustum")


def bottom(body):
    """Height of the lowest point, mm."""
    turn = Rotation.from_rotvec(body["rotation_vector_rad"])
    up = turn.as_matrix()[2]
    if body["shape"] == "block":
        below = -sum(s / 2 * abs(u) for s, u in zip(body["size_mm"], up))
    else:
        half = body["thickness_mm"] / 2
        ends = [(body.get("bottom_diameter_mm", body.get("diameter_mm")) / 2, -half), (body.get("top_diameter_mm", body.get("diameter_mm")) / 2, half)]
        below = min(z * up[2] - r * np.hypot(up[0], up[1]) for r, z in ends)
    return body["centre_mm"][2] + below


if __name__ == "__main__":
    main()
