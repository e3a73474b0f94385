"""Magnets with steel by a general-purpose finite-element library: forces and fields to compare the solver with.

Everything that can differ from the program does: the unknown is A_phi itself, the elements are biquadratic quadrangles on structured meshes graded towards every wall, the outside is
a far wall at 40 times the size of the parts, the force is the mean of Maxwell's stress through the slab of air above the plate, and contact is the limit of vanishing gaps, fitted with its
term in g ln g. A cone is a bent column of the mesh.

Every case is computed on two meshes; forces that agree to 0.1 % and fields that agree to 0.6 % are written, from the finer mesh. The elements being of second order and the finer mesh
nearly twice as fine, its own error is a third of the difference or less.

Usage: python steel.py [case ...] > steel.jsonl, where a case is named like 'plate 3'
"""

import json
import sys

import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementQuad2, LinearForm, MeshQuad, asm

MU0 = 4e-7 * np.pi
FAR = 40.0
# Growth of cells, smallest cell over the width between walls, largest cell over the magnet's diameter: a coarse mesh and a fine one.
COARSE, FINE = (1.45, 0.05, 0.08), (1.3, 0.035, 0.045)

# Measured initial curve of the steel of TEAM workshop problem 13, and above 1.8 T its Eq. (1): B = mu0 H + a H^2 + b H + c up to 2.22 T, then B = mu0 H + 2.16 T.
TABLE = """0 0 .0025 16 .005 30 .0125 54 .025 93 .05 143 .1 191 .2 210 .3 222 .4 233 .5 247 .6 258 .7 272 .8 289 .9 313 1.0 342 1.1 377 1.2 433 1.3 509 1.4 648
1.5 933 1.55 1228 1.6 1934 1.65 2913 1.7 4993 1.75 7189 1.8 9423"""
PAIRS = np.array(TABLE.split(), float).reshape(-1, 2)
ABOVE = np.linspace(9423, 47746, 200)[1:-1]
CURVE_B = np.concatenate([PAIRS[:, 0], MU0 * ABOVE - 2.381e-10 * ABOVE**2 + 2.327e-5 * ABOVE + 1.590, [2.22, 2.22 + MU0 * 1e7]])
CURVE_H = np.concatenate([PAIRS[:, 1], ABOVE, [47746, 47746 + 1e7]])


def team13(b):
    """Field strength and slope dH/dB."""
    i = np.clip(np.searchsorted(CURVE_B, b, side="right") - 1, 0, len(CURVE_B) - 2)
    slope = (CURVE_H[i + 1] - CURVE_H[i]) / (CURVE_B[i + 1] - CURVE_B[i])
    return CURVE_H[i] + slope * (b - CURVE_B[i]), slope


def growing(length, first, ratio, cap):
    """Steps from zero that grow up to a cap and end at a length."""
    sizes = [first]
    while sum(sizes) < length:
        sizes.append(min(sizes[-1] * ratio, cap))
    s = np.cumsum([0] + sizes)
    return s / s[-1] * length


def lines(stops, far, ratio, fine, cap, least, both):
    """Lines of a mesh through all stops, finer towards them, and out to the far wall, or to both."""
    stops = np.unique(np.round(stops, 12))
    widths = np.diff(stops)
    pieces = []
    for i, (a, b) in enumerate(zip(stops[:-1], stops[1:])):
        first = min(fine * min(4 * min(widths[max(i - 1, 0) : i + 2]), b - a), least)
        half = growing(0.5 * (b - a), first, ratio, cap)
        pieces.append(np.concatenate([a + half, (b - half)[-2:0:-1]]))
    ratio = 1 + 0.6 * (ratio - 1)
    outer = growing(far - stops[-1], fine * widths[-1], ratio, np.inf)
    found = np.concatenate(pieces + [stops[-1] + outer])
    if both:
        low = growing(far + stops[0], fine * widths[0], ratio, np.inf)
        found = np.concatenate([(stops[0] - low)[:0:-1], found])
    return found


class Problem:
    """Rectangular parts (name, r0, r1, z0, z1, material) in mm, and a cone if any: (r_end, r_base, z_end, z_base)."""

    def __init__(self, parts, cone, grading, far=FAR):
        ratio, fine, cap = grading
        cap *= 2 * next(p[2] for p in parts if p[0] == "magnet")
        size = max(max(p[2], abs(p[3]), abs(p[4])) for p in parts)
        top = min(p[3] for p in parts if p[3] >= 0)
        rs = [0.0] + [r for p in parts for r in (p[1], p[2])]
        if cone:
            rs = [r for r in rs if r != cone[0]]
        zs = [z for p in parts for z in (p[3], p[4])]
        r = lines(rs, far * size, ratio, fine, cap, 0.3 * top, False)
        z = lines(zs, far * size, ratio, fine, cap, 0.3 * top, True)
        mesh = MeshQuad.init_tensor(r, z)
        p = mesh.p.copy()
        if cone:
            r_end, r_base, z_end, z_base = cone
            share = np.clip((p[1] - z_end) / (z_base - z_end), 0, 1)
            at = r_end + (r_base - r_end) * share
            outer = np.sort(np.unique(rs))
            beyond = outer[outer > r_base * (1 + 1e-9)][0] if np.any(outer > r_base * (1 + 1e-9)) else far * size
            inside = p[0] <= r_base * (1 + 1e-12)
            between = (p[0] > r_base) & (p[0] < beyond)
            p[0] = np.where(inside, p[0] / r_base * at, np.where(between, at + (p[0] - r_base) / (beyond - r_base) * (beyond - at), p[0]))
        self.mesh = MeshQuad(p * 1e-3, mesh.t)
        self.parts, self.cone, self.gap = parts, cone, top
        middle = self.mesh.p[:, self.mesh.t].mean(axis=1) * 1e3
        # The middle of a trapezium lies inside it, and walls are mesh lines.
        self.of = np.full(self.mesh.t.shape[1], -1)
        for k, (_, r0, r1, z0, z1, material) in enumerate(parts):
            bound = r1
            if material == "cone":
                bound = cone[0] + (cone[1] - cone[0]) * (middle[1] - cone[2]) / (cone[3] - cone[2])
            self.of[(middle[0] > r0) & (middle[0] < bound) & (middle[1] > z0) & (middle[1] < z1)] = k
        self.basis = Basis(self.mesh, ElementQuad2(), intorder=6)

    def solve(self):
        basis = self.basis
        steel = np.isin(self.of, [k for k, p in enumerate(self.parts) if p[5] in ("team13", "cone")])
        j = np.zeros(len(self.of))
        mu = np.full(len(self.of), MU0)
        for k, p in enumerate(self.parts):
            if isinstance(p[5], tuple):
                j[self.of == k], mu[self.of == k] = p[5][0], MU0 * p[5][1]
        steel_q, j_q, mu_q = steel[:, None], j[:, None], mu[:, None]

        def answer(a, slope_a, r):
            br, bz = -slope_a[1], a / r + slope_a[0]
            size = np.sqrt(br**2 + bz**2)
            h, slope = team13(size)
            small = size < 1e-12
            nu = np.where(small, slope, h / np.where(small, 1, size))
            er, ez = br / np.where(small, 1, size), bz / np.where(small, 1, size)
            rest = np.where(small, 0, slope - nu)
            hr = np.where(steel_q, nu * br, br / mu_q)
            hz = np.where(steel_q, nu * bz, (bz - j_q) / mu_q)
            d = [np.where(steel_q, nu + rest * er * er, 1 / mu_q), np.where(steel_q, rest * er * ez, 0), np.where(steel_q, nu + rest * ez * ez, 1 / mu_q)]
            return hr, hz, d

        @BilinearForm
        def tangent(u, v, w):
            r = w.x[0]
            ur, uz = -u.grad[1], u / r + u.grad[0]
            vr, vz = -v.grad[1], v / r + v.grad[0]
            return r * (vr * (w.d0 * ur + w.d1 * uz) + vz * (w.d1 * ur + w.d2 * uz))

        @LinearForm
        def residual(v, w):
            r = w.x[0]
            return r * (w.hr * -v.grad[1] + w.hz * (v / r + v.grad[0]))

        x = np.zeros(basis.N)
        boundary = basis.get_dofs().all()
        free = np.setdiff1d(np.arange(basis.N), boundary)

        def at(x):
            field = basis.interpolate(x)
            hr, hz, d = answer(np.asarray(field), field.grad, basis.global_coordinates().value[0])
            return asm(residual, basis, hr=hr, hz=hz), d

        g, d = at(x)
        # The first step takes steel as soft as it gets.
        d = [np.where(steel_q, 1 / (2300 * MU0), d[0]), np.where(steel_q, 0, d[1]), np.where(steel_q, 1 / (2300 * MU0), d[2])]
        scale = np.linalg.norm(g[free])
        for iteration in range(80):
            matrix = asm(tangent, basis, d0=d[0], d1=d[1], d2=d[2])
            step = np.zeros(basis.N)
            step[free] = splu(matrix[free][:, free].tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}).solve(-g[free])
            slope, length = g[free] @ step[free], 1.0
            for _ in range(12):
                new, d = at(x + length * step)
                after = new[free] @ step[free]
                if after <= -0.5 * slope:
                    break
                length *= slope / (slope - after)
            x, g = x + length * step, new
            if np.linalg.norm(g[free]) <= 1e-9 * scale and iteration > 1:
                break
        else:
            raise SystemExit("no convergence")
        self.x, self.iterations = x, iteration + 1
        return self

    def force(self):
        """On what lies below z = 0."""
        z = self.mesh.p[1, self.mesh.t].mean(axis=0) * 1e3
        part = Basis(self.mesh, ElementQuad2(), intorder=6, elements=np.nonzero((z > 0) & (z < self.gap))[0])
        field = part.interpolate(self.x)
        r = part.global_coordinates().value[0]
        br, bz = -field.grad[1], np.asarray(field) / r + field.grad[0]
        return float(np.sum((bz**2 - br**2) / (2 * MU0) * 2 * np.pi * r * part.dx) / (self.gap * 1e-3))

    def field(self, points):
        """By a polynomial of degree 4 for r A_phi, fitted to the nodes of the air elements around a point: nodes of biquadratic elements are more exact than slopes."""
        places = self.basis.doflocs * 1e3
        corners = self.mesh.t
        cells = self.mesh.element_finder()(*(np.array(points, float).T * 1e-3))
        found = []
        for (r, z), cell in zip(points, cells):
            around = np.isin(corners, corners[:, cell]).any(axis=0) & (self.of == -1)
            nodes = np.unique(self.basis.element_dofs[:, around])
            dr, dz = places[0, nodes] - r, places[1, nodes] - z
            size = max(np.abs(dr).max(), np.abs(dz).max())
            terms = [(i, j) for i in range(5) for j in range(5 - i)]
            matrix = np.stack([(dr / size) ** i * (dz / size) ** j for i, j in terms], 1)
            fit = np.linalg.lstsq(matrix, places[0, nodes] * self.x[nodes], rcond=None)[0]
            slope = dict(zip(terms, fit / size))
            found.append([float(-slope[0, 1] / r * 1e3), float(slope[1, 0] / r * 1e3)])
        return found


def profile(part, cone):
    _, r0, r1, z0, z1, material = part
    if material == "cone":
        return [[0, z0], [cone[0], z0], [cone[1], z1], [0, z1]]
    return [[r0, z0], [r1, z0], [r1, z1], [r0, z1]]


def request(name, parts, cone, points):
    # Rectangles of one name are one part of the drawing: a cup is its floor and its wall.
    drawn = []
    for part in parts:
        material = part[5]
        entry = {"name": part[0], "profile_mm": profile(part, cone)}
        if part[0] == "cup wall":
            floor = next(p for p in parts if p[0] == "cup")
            _, r0, r1, z0, z1, _ = part
            drawn = [d for d in drawn if d["name"] != "cup"]
            entry = {"name": "cup", "profile_mm": [[floor[1], floor[3]], [r0, floor[3]], [r0, z0], [r1, z0], [r1, floor[4]], [floor[1], floor[4]]]}
        if isinstance(material, tuple):
            entry["magnet"] = {"polarisation_T": material[0], "recoil_permeability": material[1]}
        else:
            entry["steel"] = "team13"
        drawn.append(entry)
    return {"id": name, "want": "turned_solve", "parts": drawn, "force_on": "plate"} | ({"points_mm": points} if points else {})


def lifted(parts, by):
    return [p if p[0] == "plate" else (p[0], p[1], p[2], p[3] + by, p[4] + by, p[5]) for p in parts]


def run(name, parts, cone, points):
    """Parts above the plate stand at their gap."""
    gap = min(p[3] for p in parts if p[0] != "plate")
    values = []
    for grading in (COARSE, FINE):
        if gap > 0:
            solved = Problem(parts, cone, grading).solve()
            values.append((solved.force(), solved.field(points)))
            continue
        # Contact: F = F0 + a g ln g + b g + c g^2 ln g through four small gaps, and so for every field component.
        gaps = np.array([0.01, 0.02, 0.04, 0.08])
        rows = []
        for g in gaps:
            solved = Problem(lifted(parts, g), cone and tuple(c + (g if k > 1 else 0) for k, c in enumerate(cone)), grading).solve()
            rows.append([solved.force()] + [b for p in solved.field(points) for b in p])
        terms = np.stack([np.ones(4), gaps * np.log(gaps), gaps, gaps**2 * np.log(gaps)], 1)
        limit = np.linalg.solve(terms, np.array(rows))[0]
        values.append((float(limit[0]), limit[1:].reshape(-1, 2).tolist()))
    (f0, b0), (f1, b1) = values
    differ = abs(f0 / f1 - 1)
    apart = [float(np.hypot(*np.subtract(p, q)) / np.hypot(*q)) for p, q in zip(b0, b1)]
    print(f"{name}: {f1:.5f} N, meshes differ by {differ:.1e}, {max(apart):.1e}", file=sys.stderr, flush=True)
    kept = [k for k, a in enumerate(apart) if a <= 6e-3]
    if differ <= 1e-3:
        asked = request(name, parts, cone, [points[k] for k in kept])
        worst = max((apart[k] for k in kept), default=0)
        line = {"request": asked, "force_N": f1, "B_T": [b1[k] for k in kept], "meshes_differ": [round(differ, 6), round(worst, 6)]}
        print(json.dumps(line), flush=True)


def main():
    magnet = (1.3, 1.05)

    def above(gap, length, radius, points=()):
        # On the axis in the steel's reach, beside the rim of the magnet, above it, and beside it.
        return [[0.31 * radius, gap + length + 0.7 * radius], [radius * 1.31, gap + 1.07], [radius * 1.73, gap + 2.9]] + list(points)

    sizes = [(20, 5), (10, 5), (15, 3), (12, 10)]
    gaps = [0.0, 0.1, 0.5, 1.0, 3.0]
    plates = [0.5, 1.0, 2.0, 4.0, 10.0]
    count = 0
    cases = []
    for s, (d, length) in enumerate(sizes):
        for g, gap in enumerate(gaps):
            if gap == 0.0 and s in (1, 3):
                gap = 2.0
            t = plates[(s + g * 2) % 5]
            count += 1
            parts = [("plate", 0, 30, -t, 0, "team13"), ("magnet", 0, d / 2, gap, gap + length, magnet)]
            inner = [[0.31 * d / 2, gap / 2 + 0.011]] if gap >= 0.5 else []
            cases.append((f"plate {count}: {d} x {length} mm, {gap} mm from {t} mm", parts, None, above(gap, length, d / 2, inner)))
    for k, (d, length, gap, t, floor, wall) in enumerate([(20, 5, 0.2, 5, 2.5, 2.5), (16, 4, 0.1, 3, 2, 2), (12, 3, 0.5, 2, 1.5, 1.5), (25, 6, 1.0, 6, 3, 3), (20, 5, 0.0, 5, 2.5, 2.5), (18, 5, 0.3, 4, 2, 2)]):
        inner = d / 2 + 1.0
        parts = [
            ("plate", 0, 30, -t, 0, "team13"),
            ("magnet", 0, d / 2, gap, gap + length, magnet),
            ("cup", 0, inner, gap + length, gap + length + floor, "team13"),
            ("cup wall", inner, inner + wall, gap, gap + length + floor, "team13"),
        ]
        cases.append((f"cup {k + 1}: {d} x {length} mm, {gap} mm from {t} mm", parts, None, [[d / 2 + 0.53, gap + length / 2 + 0.1], [inner + wall + 2.1, gap + 1.3], [0.21 * d, gap + length + floor + 3.1]]))
    for k, (d, length, gap, t, back_d, back) in enumerate([(15, 4, 0.5, 4, 15, 3), (20, 5, 1.0, 3, 20, 2), (20, 5, 0.3, 5, 26, 4), (10, 2, 0.2, 2, 10, 1), (12, 6, 2.0, 5, 16, 3)]):
        parts = [
            ("plate", 0, 30, -t, 0, "team13"),
            ("magnet", 0, d / 2, gap, gap + length, magnet),
            ("back", 0, back_d / 2, gap + length, gap + length + back, "team13"),
        ]
        cases.append((f"back-plate {k + 1}: {d} x {length} mm, {gap} mm from {t} mm", parts, None, [[d / 2 * 1.4, gap + length / 2 + 0.1], [0.21 * d, gap + length + back + 2.1], [d / 2 * 1.6, gap + 0.4]]))
    for k, (d, length, gap, t, end, height) in enumerate([(15, 10, 1.0, 4, 5, 6), (10, 8, 0.5, 3, 4, 4), (20, 10, 2.0, 6, 10, 5)]):
        cone = (end / 2, d / 2, gap, gap + height)
        parts = [
            ("plate", 0, 30, -t, 0, "team13"),
            ("tip", 0, d / 2, gap, gap + height, "cone"),
            ("magnet", 0, d / 2, gap + height, gap + height + length, magnet),
        ]
        cases.append((f"pole tip {k + 1}: {d} x {length} mm, cone to {end} mm, {gap} mm from {t} mm", parts, cone, [[0.2 * end, gap / 2 + 0.013], [d / 2 + 1.1, gap + height + 2.2], [0.21 * d, gap + height + length + 2.1]]))
    wanted = sys.argv[1:]
    # Contact takes four solves a mesh: last.
    for case in sorted(cases, key=lambda case: min(p[3] for p in case[1] if p[0] != "plate") == 0):
        if not wanted or case[0].split(":")[0] in wanted:
            run(*case)


if __name__ == "__main__":
    main()
