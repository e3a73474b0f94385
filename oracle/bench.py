"""Values for the bench by general-purpose numerical libraries, none of the forms of the program.

- means: axial flux density of discs, rings and blocks of 1 T, averaged over a probe's element. The field is Coulomb's law over
  the two charged faces: of a face cut into rings (elliptic integrals of SciPy) or strips, one integral in closed form and the
  other by adaptive quadrature; the mean by a product rule.
- acceptance: operating characteristics of single sampling plans by the binomial distribution.
- capability: 95 % intervals of the capability index by the chi-squared distribution.
- one_sided: exact 95 % intervals of the index of one limit by the noncentral t distribution, and the part outside that limit.

Writes bench.json. Usage: python bench.py > bench.json
"""

import json
import sys

import numpy as np
from scipy import integrate, optimize, stats
from scipy.special import ellipe


def face_disc(radius, rho, z):
    """Bz of a disc of charge of 1 T at rho from its axis, z above it: Coulomb's law, the angle by elliptic integrals, the radius by quadrature."""

    def ring(a):
        # z times the integral over the angle of 1 / r^3 for a ring of charge.
        sum2 = (a + rho) ** 2 + z * z
        dif2 = (a - rho) ** 2 + z * z
        m = 4 * a * rho / sum2
        return a * z * 4 * ellipe(m) / (np.sqrt(sum2) * dif2)

    value, _ = integrate.quad(ring, 0, radius, epsabs=0, epsrel=1e-12, limit=400, points=[min(rho, radius)] if 0 < rho < radius else None)
    return value / (4 * np.pi)


def face_block(length, width, x, y, z):
    """The same of a rectangle: one integral in closed form, the other by quadrature."""

    def line(u):
        c2 = (x - u) ** 2 + z * z
        v = [y + width / 2, y - width / 2]
        part = [t / (c2 * np.sqrt(c2 + t * t)) for t in v]
        return z * (part[0] - part[1])

    value, _ = integrate.quad(line, -length / 2, length / 2, epsabs=0, epsrel=1e-12, limit=400)
    return value / (4 * np.pi)


def field(shape, x, y, z):
    """Axial B of a magnet of 1 T at (x, y), z above its top face."""
    kind, *sizes = shape
    if kind == "disc":
        d, t = sizes
        rho = np.hypot(x, y)
        return face_disc(d / 2, rho, z) - face_disc(d / 2, rho, z + t)
    if kind == "ring":
        d, i, t = sizes
        rho = np.hypot(x, y)
        face = lambda h: face_disc(d / 2, rho, h) - face_disc(i / 2, rho, h)
        return face(z) - face(z + t)
    l, w, t = sizes
    return face_block(l, w, x, y, z) - face_block(l, w, x, y, z + t)


def mean(shape, element, across, z):
    kind, *sizes = element
    # Gauss points of a product rule over the element: 24 in each direction, far more than the field needs outside the magnet.
    g, w = np.polynomial.legendre.leggauss(24)
    if kind == "disc":
        a = sizes[0] / 2
        total = 0.0
        angles = (np.arange(32) + 0.5) / 32 * 2 * np.pi
        for t, wt in zip((g + 1) / 2, w / 2):
            r = a * np.sqrt(t)
            total += wt * np.mean([field(shape, across + r * np.cos(p), r * np.sin(p), z) for p in angles[:16]])
        return total
    l, b = sizes
    return sum(
        wi * wj / 4 * field(shape, across + l / 2 * gi, b / 2 * gj, z) for gi, wi in zip(g, w) for gj, wj in zip(g, w)
    )


MEANS = [
    (("disc", 6, 1), ("disc", 0.76), 0.0, 0.5),
    (("disc", 6, 1), ("disc", 0.76), 0.6, 0.5),
    (("disc", 2, 1), ("disc", 0.76), 0.0, 0.5),
    (("disc", 3, 3), ("disc", 1.5), 0.0, 1.0),
    (("disc", 10, 5), ("rectangle", 1.5, 2.5), 0.3, 0.8),
    (("disc", 20, 10), ("disc", 1.0), 10.0, 1.0),
    (("ring", 20, 10, 5), ("disc", 0.76), 7.5, 0.4),
    (("ring", 10, 4, 3), ("disc", 1.0), 0.0, 0.6),
    (("block", 20, 10, 5), ("disc", 0.76), 0.0, 0.5),
    (("block", 10, 5, 2), ("rectangle", 1.0, 2.0), 1.0, 0.7),
]
PLANS = [(13, 0), (80, 2), (50, 1), (125, 10), (315, 21), (32, 3), (2000, 21), (2, 0)]

means = [
    {"shape": s, "element": e, "across": a, "distance": d, "mean": mean(s, e, a, d), "middle": field(s, a, 0.0, d)}
    for s, e, a, d in MEANS
]
acceptance = [
    {"sample": n, "accept": c, "nonconforming": p, "acceptance": float(stats.binom.cdf(c, n, p))}
    for n, c in PLANS
    for p in (0.001, 0.01, 0.025, 0.05, 0.1, 0.3)
]
capability = []
for n, cp in [(10, 1.33), (30, 1.0), (50, 1.67), (125, 0.8)]:
    low, high = (cp * np.sqrt(stats.chi2.ppf(q, n - 1) / (n - 1)) for q in (0.025, 0.975))
    capability.append({"count": n, "cp": cp, "low": low, "high": high})
one_sided = []
for n, cpk in [(20, 1.0), (30, 1.33), (50, 1.67), (125, 0.8)]:
    # The mean's distance from the limit over the deviation, times the root of n, is noncentral t.
    t = 3 * cpk * np.sqrt(n)
    low, high = (
        optimize.brentq(lambda c: stats.nct.cdf(t, n - 1, 3 * c * np.sqrt(n)) - q, 0.01, 5) for q in (0.975, 0.025)
    )
    one_sided.append({"count": n, "cpk": cpk, "low": low, "high": high, "outside": float(stats.norm.sf(3 * cpk))})
json.dump(
    {"means": means, "acceptance": acceptance, "capability": capability, "one_sided": one_sided}, sys.stdout, indent=1
)
print()
