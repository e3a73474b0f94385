"""Fields and forces of magnets by other models than the closed forms in the program.

Fields: by the Biot-Savart law over the bound surface currents, and by Coulomb's law over the bound
surface charges, both by adaptive or high-order quadrature, off the axis too. Each value is kept only if
the two models agree. Near an edge and far away mpmath does the same in extended precision.
Forces: by Maxwell stress over the plane between the magnets, and by the field of one integrated over the
charge of the other.

Writes independent.csv: what is asked (sizes and points in millimetres, 1 T), the value, and the allowed difference.
Usage: python independent.py > independent.csv
"""

import csv
import sys

import mpmath as mp
import numpy as np
from scipy import integrate, special

MU_0 = 4e-7 * np.pi
MM = 1e-3
mp.mp.dps = 40


# Fields of a polarisation of 1 T, in the frame of the magnet's centre, any unit of length.

def disc_by_charge(radius, half, rho, z):
    """B outside a cylinder from charge on its two end faces: rings of charge, summed over their radius by quadrature
    in extended precision."""

    def face(height, part):
        d = z - height

        def ring(a):
            far2, near2 = (a + rho) ** 2 + d * d, (a - rho) ** 2 + d * d
            m = 4 * a * rho / far2
            if part == "z":
                return a * d * mp.ellipe(m) / (mp.sqrt(far2) * near2)
            return a / (2 * rho * mp.sqrt(far2)) * (mp.ellipk(m) - (a * a - rho * rho + d * d) / near2 * mp.ellipe(m))

        inner = min(rho, radius)
        breaks = [0, inner, radius] if inner < radius else [0, radius]
        return mp.quad(ring, breaks) / mp.pi

    return face(half, "r") - face(-half, "r"), face(half, "z") - face(-half, "z")


def disc_by_current(radius, half, rho, z):
    """B of a cylinder, inside as well, from the current sheet on its side: the integral over height is elementary,
    the one over the angle is done by quadrature in extended precision."""

    def over_angle(part):
        def integrand(t):
            c = mp.cos(t)
            fall = 2 * mp.sin(t / 2) ** 2  # 1 - cos t
            s2 = (radius - rho) ** 2 + 2 * radius * rho * fall
            top, bottom = z - half, z + half
            if part == "r":
                return radius * c * (1 / mp.sqrt(s2 + top * top) - 1 / mp.sqrt(s2 + bottom * bottom))
            ends = bottom / mp.sqrt(s2 + bottom * bottom) - top / mp.sqrt(s2 + top * top)
            return radius * (radius - rho + rho * fall) / s2 * ends

        # Break where the integrand is sharp: near t = 0, on the scale of the distance from the side.
        sharp = abs(radius - rho) / radius
        breaks = [mp.mpf(0)]
        width = max(min(sharp, mp.mpf(1) / 4), mp.mpf("1e-9"))
        while width < mp.pi:
            breaks.append(width)
            width *= 4
        breaks.append(mp.pi)
        return mp.quad(integrand, breaks) / (2 * mp.pi)

    return over_angle("r"), over_angle("z")


def block_by_charge(half, point):
    """B outside a block from charge on its two pole faces, by quadrature over the face in extended precision;
    the inner integral is elementary."""
    a, b, c = (mp.mpf(h) for h in half)
    x, y, z = (mp.mpf(p) for p in point)

    def inner(v, d, part, side):
        # integral of the Coulomb kernel over one side of the face, at a fixed place along the other
        q2 = v * v + d * d
        near, far = x - side, x + side
        r_near, r_far = mp.sqrt(near * near + q2), mp.sqrt(far * far + q2)
        if part == "along":
            return 1 / r_near - 1 / r_far
        return (far / r_far - near / r_near) / q2

    total = [mp.mpf(0)] * 3
    for sign, height in ((1, c), (-1, -c)):
        d = z - height
        breaks = sorted({-b, b, min(max(y, -b), b)})
        if len(breaks) == 2:
            breaks = [-b, mp.mpf(0), b]
        total[0] += sign * mp.quad(lambda t: inner(y - t, d, "along", a), breaks)
        total[1] += sign * mp.quad(lambda t: (y - t) * inner(y - t, d, "across", a), breaks)
        total[2] += sign * mp.quad(lambda t: d * inner(y - t, d, "across", a), breaks)
    return [t / (4 * mp.pi) for t in total]


def block_by_current(half, point):
    """B of a block, inside as well, from the current sheets on its four sides by quadrature in extended precision."""
    a, b, c = (mp.mpf(h) for h in half)
    x, y, z = (mp.mpf(p) for p in point)
    top, bottom = z - c, z + c

    def lift(s2):
        """Integrals over height of dz'/r^3 and (z - z') dz'/r^3."""
        r_top, r_bottom = mp.sqrt(s2 + top * top), mp.sqrt(s2 + bottom * bottom)
        return (bottom / r_bottom - top / r_top) / s2, 1 / r_top - 1 / r_bottom

    total = [mp.mpf(0)] * 3

    def breaks(limit, at):
        inside = min(max(at, -limit), limit)
        points = sorted({-limit, inside, limit})
        return points if len(points) > 2 else [-limit, mp.mpf(0), limit]

    # Current on x = +a runs along +y, on x = -a along -y; on y = +b along -x, on y = -b along +x.
    for sign in (1, -1):
        dx = x - sign * a
        total[0] += sign * mp.quad(lambda t: lift(dx * dx + (y - t) ** 2)[1], breaks(b, y))
        total[2] += -sign * mp.quad(lambda t: dx * lift(dx * dx + (y - t) ** 2)[0], breaks(b, y))
        dy = y - sign * b
        total[1] += sign * mp.quad(lambda t: lift(dy * dy + (x - t) ** 2)[1], breaks(a, x))
        total[2] += -sign * mp.quad(lambda t: dy * lift(dy * dy + (x - t) ** 2)[0], breaks(a, x))
    return [t / (4 * mp.pi) for t in total]


def agree(one, other, tolerance):
    """Both models, or stop."""
    size = max(abs(v) for v in one)
    for p, q in zip(one, other):
        if abs(p - q) > tolerance * size:
            raise SystemExit(f"the two models disagree: {one} {other}")
    return one


# Forces between coaxial discs and rings, in N for sizes in metres.

def flux_between_discs(a, b, s):
    """Flux through a disc of radius b of the field of a disc of unit charge density and radius a, a distance s away:
    quadrature over rings of charge of their field along the axis over circles."""

    def ring_flux(r):
        def density(q):
            m = 4 * r * q / ((r + q) ** 2 + s * s)
            return s * special.ellipe(m) / (np.pi * np.sqrt((r + q) ** 2 + s * s) * ((r - q) ** 2 + s * s)) * q

        points = [r] if 0 < r < b else None
        return integrate.quad(density, 0, b, points=points, epsabs=0, epsrel=1e-12, limit=400)[0]

    return 2 * np.pi * integrate.quad(
        lambda r: r * ring_flux(r), 0, a, points=[b] if b < a else None, epsabs=0, epsrel=1e-11, limit=400
    )[0]


def turned_force(first, second, gap):
    """Attraction of two rings [outer, inner radius, height], axes in line, polarised at 1 T: face by face."""
    (a1, a0, h), (b1, b0, k) = first, second

    def faces(s):
        total = flux_between_discs(a1, b1, s)
        if b0:
            total -= flux_between_discs(a1, b0, s)
        if a0:
            total -= flux_between_discs(a0, b1, s)
        if a0 and b0:
            total += flux_between_discs(a0, b0, s)
        return total

    return (faces(gap) - faces(gap + h) - faces(gap + k) + faces(gap + h + k)) / MU_0


def stress_on_plate(outer, inner, height, gap):
    """Pull on an ideal plate as Maxwell stress: B on the plate is twice the free field along z."""

    def bz(rho):
        def solid(radius):
            # current sheet, elementary over height, quadrature over angle by the periodic trapezoid
            t = (np.arange(4000) + 0.5) * np.pi / 4000
            s2 = radius**2 + rho**2 - 2 * radius * rho * np.cos(t)
            top, bottom = gap + height, gap
            ends = top / np.sqrt(s2 + top**2) - bottom / np.sqrt(s2 + bottom**2)
            return np.mean(radius * (radius - rho * np.cos(t)) / s2 * ends) / 2

        return solid(outer) - (solid(inner) if inner else 0)

    def integrand(x):
        rho = outer * x / (1 - x)  # out to infinity
        return (2 * bz(rho)) ** 2 * rho * outer / (1 - x) ** 2

    edges = sorted({0.0, 0.5, 0.999999} | ({inner / (inner + outer)} if inner else set()))
    total = sum(
        integrate.quad(integrand, lo, hi, epsabs=0, epsrel=1e-9, limit=400)[0] for lo, hi in zip(edges, edges[1:])
    )
    return 2 * np.pi * total / (2 * MU_0)


def block_force(fixed, moving, offset):
    """Force on the moving block: field of the fixed one by charge, integrated over the charge of the other.

    Both integrals over coordinates across are joined: the kernel depends on differences only, so a difference of
    two uniform coordinates with its trapezoid density is integrated, in two dimensions, by Gauss-Legendre panels."""
    nodes, weights = np.polynomial.legendre.leggauss(60)

    def axis(p, q, shift):
        """Nodes and weights for the difference of uniform coordinates on [-q, q] + shift and [-p, p]."""
        cuts = np.array(sorted({shift - p - q, shift - abs(p - q), shift + abs(p - q), shift + p + q, *(
            [0.0] if abs(shift) < p + q else [])}))
        xs, ws = [], []
        for lo, hi in zip(cuts, cuts[1:]):
            if hi - lo < 1e-15:
                continue
            x = (lo + hi) / 2 + (hi - lo) / 2 * nodes
            density = np.clip(np.minimum(p + q - np.abs(x - shift), 2 * min(p, q)), 0, None)
            xs.append(x)
            ws.append(weights * (hi - lo) / 2 * density)
        return np.concatenate(xs), np.concatenate(ws)

    x, wx = axis(fixed[0], moving[0], offset[0])
    y, wy = axis(fixed[1], moving[1], offset[1])
    weight = wx[:, None] * wy[None, :]
    total = np.zeros(3)
    for top in (1, -1):
        for other in (1, -1):
            z = offset[2] + other * moving[2] - top * fixed[2]
            r3 = (x[:, None] ** 2 + y[None, :] ** 2 + z * z) ** 1.5
            total += top * other * np.array([
                np.sum(weight * x[:, None] / r3), np.sum(weight * y[None, :] / r3), np.sum(weight * z / r3)])
    return total / (4 * np.pi * MU_0)


def main():
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["kind", "a", "b", "c", "x", "y", "z", "expected_x", "expected_y", "expected_z", "tolerance"])
    digits = lambda v: mp.nstr(mp.mpf(v), 17)

    # Cylinders: diameter, height; points at radius and height from the centre. Tolerances relative to |B|.
    m = mp.mpf
    for d, h, rho, z, tol in [
        (10, 10, "2.5", "6", 1e-10), (10, 10, "5", "6", 1e-10), (10, 10, "7.5", "0", 1e-10),
        (10, 10, "4.9", "4.9", 1e-10), (10, 10, "1", "0.5", 1e-10), (6, 1, "2.75", "0.75", 1e-10),
        (6, 1, "0.125", "0.625", 1e-10), (20, 2, "30", "15", 1e-10), (3, 30, "1.75", "14", 1e-10),
        (10, 10, "5.001", "5", 1e-8), (10, 10, "4.9995", "5.0005", 1e-8), (10, 10, "5", "5.001", 1e-8),
        (10, 10, "30", "40", 1e-10), (10, 10, "48", "55", 1e-10), (10, 10, "60", "80", 1e-10),
        (10, 10, "300", "400", 1e-10), (10, 10, "6000", "8000", 1e-10), (10, 1, "10", "10000", 1e-10),
        (10, 0.125, "42", "3", 1e-10), (2, 40, "100", "90", 1e-10),
    ]:
        radius, half = m(d) / 2, m(h) / 2
        r, height = m(rho), m(z)
        value = disc_by_current(radius, half, r, height)
        inside = r < radius and abs(height) < half
        sharp = tol > 1e-9
        if not inside and not sharp:
            agree(value, disc_by_charge(radius, half, r, height), m("1e-15"))
        out.writerow(["disc", d, h, "", rho, 0, z, digits(value[0]), 0, digits(value[1]), tol])

    # Rings: the difference of two cylinders, each by its current sheet.
    for od, idm, h, rho, z in [(20, 10, 5, "7.5", "3"), (20, 10, 5, "2", "1"), (20, 10, 5, "12", "-1"), (20, 18, 4, "9.5", "2.5"), (20, 10, 5, "200", "150"), (20, 10, 5, "3", "0")]:
        parts = [disc_by_current(m(w) / 2, m(h) / 2, m(rho), m(z)) for w in (od, idm)]
        value = [p - q for p, q in zip(*parts)]
        out.writerow(["ring", od, idm, h, rho, 0, z, digits(value[0]), 0, digits(value[1]), 1e-10])

    # Blocks: length, width, thickness; points from the centre.
    for size, point, tol in [
        ((20, 10, 5), ("3", "2", "4.5"), 1e-10), ((20, 10, 5), ("8", "4", "6"), 1e-10), ((20, 10, 5), ("12", "7", "3"), 1e-10),
        ((20, 10, 5), ("9.5", "4.5", "2"), 1e-10), ((20, 10, 5), ("10", "3", "4"), 1e-10), ((20, 10, 5), ("15", "5", "2.5"), 1e-10),
        ((20, 10, 5), ("10.001", "1", "2.5"), 1e-8), ((20, 10, 5), ("-3", "1", "2.501"), 1e-10), ((10, 10, 10), ("0.5", "0.25", "-0.125"), 1e-10),
        ((40, 10, 0.5), ("19", "-4", "0.75"), 1e-10), ((20, 10, 5), ("30", "20", "40"), 1e-10), ((20, 10, 5), ("60", "20", "25"), 1e-10),
        ((20, 10, 5), ("50", "40", "39"), 1e-10), ((20, 10, 5), ("6000", "3000", "7000"), 1e-10), ((40, 10, 0.5), ("90", "60", "70"), 1e-10),
    ]:
        half = [m(s) / 2 for s in size]
        p = [m(c) for c in point]
        value = block_by_current(half, p)
        if not all(abs(c) < h for c, h in zip(p, half)) and abs(p[2]) > half[2]:
            agree(value, block_by_charge(half, p), m("1e-15"))
        out.writerow(["block", *size, *point, *map(digits, value), tol])

    # Attraction of coaxial rings and discs: outer and inner diameter and height of each, gap.
    for (a1, a0, h), (b1, b0, k), gap, tol in [
        ((10, 0, 5), (10, 0, 5), 1, 1e-8), ((8, 0, 6), (16, 0, 3), 2, 1e-8), ((20, 10, 5), (20, 10, 5), 2, 1e-8),
        ((20, 10, 5), (12, 0, 4), 1.5, 1e-8), ((10, 0, 1), (9.5, 0, 2), 0.5, 1e-8), ((10, 0, 5), (10, 0, 5), 40, 1e-7),
    ]:
        force = turned_force((a1 / 2 * MM, a0 / 2 * MM, h * MM), (b1 / 2 * MM, b0 / 2 * MM, k * MM), gap * MM)
        out.writerow([f"attraction {a1} {a0} {h} {b1} {b0} {k}", "", "", "", "", "", gap, "", "", repr(float(force)), tol])

    # Pull on an ideal plate: outer and inner diameter, height, gap.
    for od, idm, h, gap in [(10, 0, 5, 1), (10, 0, 1, 0.5), (20, 10, 5, 1), (15, 0, 3, 2)]:
        force = stress_on_plate(od / 2 * MM, idm / 2 * MM, h * MM, gap * MM)
        out.writerow(["plate", od, idm, h, "", "", gap, "", "", repr(float(force)), 1e-8])

    # Blocks: fixed sides, moving sides, offset.
    for fixed, moving, offset in [
        ((20, 12, 6), (12, 20, 6), (-4, -4, 8)), ((10, 10, 10), (10, 10, 10), (3, 2, 12)), ((20, 10, 5), (20, 10, 5), (0, 0, 6)),
        ((20, 10, 5), (6, 8, 3), (15, -3, 1)), ((10, 10, 2), (30, 4, 4), (0, 12, 5)), ((20, 10, 5), (20, 10, 5), (100, 200, 150)),
    ]:
        force = block_force([s / 2 * MM for s in fixed], [s / 2 * MM for s in moving], [o * MM for o in offset])
        kind = "blocks " + " ".join(map(str, moving))
        out.writerow([kind, *fixed, *offset, *(repr(float(f)) for f in force), 1e-8])


if __name__ == "__main__":
    main()
