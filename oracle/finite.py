"""Discs of finite recoil permeability by finite elements, for comparison with the surface charges of the program.

Axisymmetric magnetic scalar potential, H = -grad phi, with div(J + mu_rec mu_0 H) = 0 inside a disc of uniform
polarisation J = 1 T along its axis and div(mu_0 H) = 0 outside. Biquadratic elements on a tensor grid graded towards the
rim and outwards; the wall, at zero potential, stands 60 diameters away, which changes the field near the body by less than
1e-6 of J; the middle plane is at zero potential by symmetry. Solved with the general-purpose library scikit-fem.

Every value is checked in the script itself: with mu_rec = 1 the closed form on the axis must be met to 2e-5 of J.

Writes finite.toml. Usage: python finite.py > ../crates/compute/data/finite.toml
"""

import numpy as np
import skfem as fem
from scipy.interpolate import BarycentricInterpolator
from skfem.helpers import dot, grad

CASE = """
[[case]]
id = "recoil-{ratio}-{mu:.2f}-{place}"
what = "disc of L/D {ratio}, recoil permeability {mu:.2f}, on the axis {above} mm above the face"
source = "computed: finite elements, oracle/finite.py"
question = "recoil_field"
magnet = {{ shape = "disc", diameter = 20.0, thickness = {thickness:.1f} }}
recoil_permeability = {mu:.2f}
above_face = [{above}]
expected = [{value:.7f}]
tolerance = {tolerance:.1e}"""
# What the elements are trusted for, as a share of each value.
SHARE = 2e-4
RATIOS = [0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1.0, 2.0, 5.0]
PERMEABILITIES = [1.0, 1.05, 1.10, 1.20]
SMALLEST = 1e-4
WALL = 60.0


def graded(mark, *lines):
    """Grid from 0 to the wall with steps that shrink towards the mark, and grid lines where asked."""
    size = min(1.0, mark)
    points = [mark]
    for way, end in ((-1.0, 0.0), (1.0, 2.0 * WALL)):
        distance, limit = 0.0, abs(end - mark)
        while distance < limit:
            step = max(SMALLEST * size, 0.3 * distance)
            distance += min(step, 0.1 * max(1.0, 0.25 * distance), 0.25 * size * max(1.0, distance / size))
            points.append(mark + way * min(distance, limit))
    points = np.unique(points)
    for line in lines:
        points[np.argmin(np.abs(points - line))] = line
    return points


def solve(ratio, permeabilities):
    """B on the axis at the face and one diameter above it, for a disc of radius 1 and height 2 ratio."""
    half = ratio
    r, z = graded(1.0), graded(half, half + 2.0)
    mesh = fem.MeshQuad.init_tensor(r, z)
    basis = fem.Basis(mesh, fem.ElementQuad2(), intorder=5)
    centre = mesh.p[:, mesh.t].mean(axis=1)
    inside = np.flatnonzero((centre[0] < 1.0) & (centre[1] < half))
    within = fem.Basis(mesh, fem.ElementQuad2(), elements=inside, intorder=5)

    @fem.BilinearForm
    def stiffness(u, v, w):
        return dot(grad(u), grad(v)) * w.x[0]

    @fem.LinearForm
    def source(v, w):
        return grad(v)[1] * w.x[0]

    everywhere = stiffness.assemble(basis)
    more = stiffness.assemble(within)
    load = source.assemble(within)
    fixed = basis.get_dofs(lambda x: (x[1] < 1e-12) | (x[1] > 2.0 * WALL - 1e-9) | (x[0] > 2.0 * WALL - 1e-9))
    values = []
    for mu in permeabilities:
        phi = fem.solve(*fem.condense(everywhere + (mu - 1.0) * more, load, D=fixed))
        values.append([-slope(mesh, basis, phi, half), -slope(mesh, basis, phi, half + 2.0)])
    return values, basis.N


def slope(mesh, basis, phi, height):
    """d phi / dz on the axis at that height, just above it: the elements' slopes at their Gauss points, where these
    converge best, of the four elements above, or two above and two below where no face is near, and the polynomial through them."""
    z = np.unique(mesh.p[1])
    k = int(np.argmin(np.abs(z - height)))
    first = k if z[k + 1] - z[k] < 1e-2 else k - 2
    places, slopes = [], []
    for a, b in zip(z[first : first + 4], z[first + 1 : first + 5]):
        low, middle, high = (basis.probes(np.array([[0.0], [a + t * (b - a)]])) @ phi for t in (0.0, 0.5, 1.0))
        for node in (-1.0, 1.0):
            t = 0.5 + node / np.sqrt(12.0)
            places.append(a + t * (b - a))
            slopes.append((low * (4.0 * t - 3.0) + middle * (4.0 - 8.0 * t) + high * (4.0 * t - 1.0))[0] / (b - a))
    return BarycentricInterpolator(np.array(places) - height, slopes)(0.0)


def closed(half, distance):
    """B on the axis of a rigid disc of radius 1 and 1 T, that far above its face."""
    end = lambda x: x / np.hypot(1.0, x)
    return 0.5 * (end(2.0 * half + distance) - end(distance))


if __name__ == "__main__":
    print("# Made by finite.py: flux density on the axis of discs of 1 T and 20 mm diameter, at the face and one diameter above it.")
    for ratio in RATIOS:
        values, unknowns = solve(ratio, PERMEABILITIES)
        rigid = [closed(ratio, 0.0), closed(ratio, 2.0)]
        for got, expected in zip(values[0], rigid):
            assert abs(got - expected) <= 2e-5, (ratio, got, expected, unknowns)
        for mu, (face, away) in zip(PERMEABILITIES[1:], values[1:]):
            for place, above, value in (("face", 0.0, face), ("away", 20.0, away)):
                print(CASE.format(ratio=ratio, mu=mu, place=place, above=above, value=value, thickness=20.0 * ratio, tolerance=SHARE * value))
