"""One million points through this project and through the same closed forms in NumPy, in one run, and the ratio of the times.

Disc off its axis: Derby and Olbert 2010 with `cel` by arithmetic-geometric means, vectorised. Block: corner sums of logarithms and arc tangents.
One thread each: NumPy does these element by element on one core, and the bench of the program is told to use one.

Usage: python ratio.py, with cargo at hand; the bench `many` of the crate prints nanoseconds a point.
"""

import os
import re
import subprocess
import time

import numpy as np


def cel(kc, p, a, b):
    k, em, kk = kc, np.ones_like(kc), kc
    p = np.sqrt(p)
    b = b / p
    while True:
        f = a
        a = a + b / p
        g = kk / p
        b = 2 * (b + f * g)
        p = g + p
        g = em
        em = k + em
        if np.all(np.abs(g - k) <= g * 1e-8):
            return np.pi / 2 * (b + a * em) / (em * (em + p))
        k = 2 * np.sqrt(kk)
        kk = k * em


def disc(radius, half, p):
    rho = np.hypot(p[:, 0], p[:, 1])
    top, bottom = p[:, 2] - half, p[:, 2] + half
    total, apart = rho + radius, radius - rho
    gamma = apart / total
    radial, axial = 0.0, 0.0
    for w, sign in ((bottom, 1.0), (top, -1.0)):
        reach = np.sqrt(w * w + total * total)
        k = np.sqrt(w * w + apart * apart) / reach
        one = np.ones_like(k)
        radial = radial + sign / reach * cel(k, one, one, -one)
        axial = axial + sign * w / reach * cel(k, gamma * gamma, one, gamma)
    radial *= radius / np.pi
    axial *= radius / np.pi / total
    return np.stack([radial * p[:, 0] / rho, radial * p[:, 1] / rho, axial], 1)


def block(half, p):
    total = np.zeros_like(p)
    for i in (1, -1):
        for j in (1, -1):
            for k in (1, -1):
                u, v, w = p[:, 0] - i * half[0], p[:, 1] - j * half[1], p[:, 2] - k * half[2]
                r = np.sqrt(u * u + v * v + w * w)
                s = i * j * k
                total[:, 0] -= s * np.log(r + v)
                total[:, 1] -= s * np.log(r + u)
                total[:, 2] += s * np.arctan2(u * v, w * r)
    return total / (4 * np.pi)


def best(f):
    times = []
    for _ in range(3):
        start = time.perf_counter()
        f()
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    count = 1_000_000
    i = np.arange(count)
    t = (i % 1000) * 1e-3
    points = np.stack([0.001 + 0.012 * t, 0.002 * t, 0.0031 + 0.005 * np.abs(np.sin(7 * t))], 1)
    theirs = {
        "disc": best(lambda: disc(0.005, 0.0025, points)) / count * 1e9,
        "block": best(lambda: block((0.01, 0.005, 0.0025), points)) / count * 1e9,
    }
    out = subprocess.run(
        ["cargo", "bench", "-q", "-p", "magnetics", "--bench", "many"], capture_output=True, text=True, check=True,
        env={**os.environ, "RAYON_NUM_THREADS": "1"},
    ).stdout
    print(f"{'body':8}{'NumPy ns/point':>16}{'here ns/point':>16}{'ratio':>8}")
    for name, ours in re.findall(r"^(\w+) ([\d.]+)$", out, re.M):
        print(f"{name:8}{theirs[name]:16.1f}{float(ours):16.1f}{theirs[name] / float(ours):8.1f}")


if __name__ == "__main__":
    main()
