"""Most flux density around packed discs, by Coulomb's law over the charged faces of every disc.

64 discs of 20 x 5 mm at 1.3 T in stacks of four, 2 mm between stacks, in a box with 20 mm of filler: all one way, alternating as
the fields of a chessboard, in couples, and in closed rings of four stacks. Each face is a quadrature of 4 radii by 8 angles with
its share of the charge; directions are 10,000 on a golden spiral. Nothing of the program is used. Prints JSON:

    python parcels.py > ../crates/parcels/data/oracle.json
"""

import json

import numpy as np

MU0 = 4e-7 * np.pi
D, T, J = 20e-3, 5e-3, 1.3
CARD, FILLER = 2e-3, 20e-3
PITCH = D + CARD
DISTANCES = [2.1, 4.5, 4.6]


def faces():
    """Points of a charged face and their shares of its area."""
    x, w = np.polynomial.legendre.leggauss(4)
    square = 0.5 * (x + 1)
    radius = 0.5 * D * np.sqrt(square)
    angle = (np.arange(8) + 0.5) * 2 * np.pi / 8
    points = np.array([[r * np.cos(a), r * np.sin(a)] for r in radius for a in angle])
    return points, np.repeat(0.5 * w / 8, 8)


def standing(sign):
    """Stacks of four on a grid of four by four, the floor common."""
    discs = []
    for row in range(4):
        for column in range(4):
            middle = np.array([(column - 1.5) * PITCH, (row - 1.5) * PITCH, 0.0])
            for k in range(4):
                discs.append((middle + [0, 0, (k - 1.5) * T], [0, 0, sign(column, row)]))
    side = 4 * PITCH - CARD
    return discs, [side, side, 4 * T]


def rings():
    """Four squares, above each other, of four stacks that lie head to tail."""
    long = 4 * T
    cell = long + D + CARD
    half, back = long / 2, -D / 2
    sides = [
        ([back, -half], [1, 0]),
        ([half, back], [0, 1]),
        ([-back, half], [-1, 0]),
        ([-half, -back], [0, -1]),
    ]
    discs = []
    for layer in range(4):
        for at, north in sides:
            middle = np.array([at[0], at[1], (layer - 1.5) * PITCH])
            along = np.array([north[0], north[1], 0.0])
            for k in range(4):
                discs.append((middle + (k - 1.5) * T * along, along))
    return discs, [cell - CARD, cell - CARD, 4 * PITCH - CARD]


def charges(discs):
    points, shares = faces()
    places, amounts = [], []
    for middle, along in discs:
        along = np.asarray(along, float)
        other = np.array([1.0, 0, 0]) if abs(along[0]) < 0.5 else np.array([0, 1.0, 0])
        u = np.cross(along, other)
        v = np.cross(along, u)
        for end in (1, -1):
            places.append(middle + end * 0.5 * T * along + points[:, :1] * u + points[:, 1:] * v)
            amounts.append(end * shares * J * np.pi * D**2 / 4)
    return np.concatenate(places), np.concatenate(amounts)


def directions(count=10_000):
    k = np.arange(count)
    z = 1 - (2 * k + 1) / count
    angle = np.pi * (3 - 5**0.5) * k
    across = np.sqrt(1 - z * z)
    return np.stack([across * np.cos(angle), across * np.sin(angle), z], axis=1)


def at_distance(half, distance):
    """Points that lie `distance` from the nearest surface of the box, one in each direction."""
    u = directions()
    near, far = np.zeros(len(u)), np.full(len(u), distance + np.linalg.norm(half))
    for _ in range(60):
        t = (near + far) / 2
        away = np.linalg.norm(np.maximum(np.abs(u) * t[:, None] - half, 0), axis=1)
        near, far = np.where(away < distance, t, near), np.where(away < distance, far, t)
    return u * far[:, None]


def most(discs, size, distance):
    places, amounts = charges(discs)
    half = np.array(size) / 2 + FILLER
    best = 0.0
    for chunk in np.array_split(at_distance(half, distance), 400):
        r = chunk[:, None, :] - places[None, :, :]
        r3 = np.sum(r * r, axis=2) ** 1.5
        field = np.sum(amounts[None, :, None] * r / r3[:, :, None], axis=1) / (4 * np.pi)
        best = max(best, float(np.max(np.linalg.norm(field, axis=1))))
    return best


ARRANGED = {
    "one_way": standing(lambda column, row: 1),
    "alternating": standing(lambda column, row: (-1) ** (column + row)),
    "paired": standing(lambda column, row: (-1) ** column),
    "rings": rings(),
}
cases = [
    {"arrangement": name, "distance": distance, "most": most(discs, size, distance)}
    for name, (discs, size) in ARRANGED.items()
    for distance in DISTANCES
]
print(json.dumps({"diameter": D, "thickness": T, "polarisation": J, "cases": cases}, indent=1))
