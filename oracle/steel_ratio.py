"""A disc of 20 x 5 mm, 1 mm above a plate of 60 x 2 mm of mild steel: time of a solve here and by a general-purpose finite-element library, in one run.

Both solve the non-linear problem from the drawing to the force: the library on a mesh just good enough for 0.5 % of force and on one of about 20,000 unknowns, the program to its default tolerance and
with at least 20,000 unknowns, which the library then has too, or the script stops. One thread each; the best of several runs.

Usage: python steel_ratio.py, with cargo at hand; set OMP_NUM_THREADS=1.
"""

import re
import subprocess
import time

from steel import Problem

PARTS = [("plate", 0, 30, -2, 0, "team13"), ("magnet", 0, 10, 1, 6, (1.3, 1.05))]
# Growth and sizes of cells and the distance of the far wall, as coarse as 0.5 % allows; and for 20,000 unknowns.
SMALL, LARGE = ((2.4, 0.15, 0.3), 10.0), ((1.45, 0.055, 0.12), 40.0)

# How far apart the unknowns of the large solves may be.
APART = 0.05


def theirs(setting, runs):
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        solved = Problem(PARTS, None, *setting).solve()
        force = solved.force()
        times.append(time.perf_counter() - start)
    return min(times), solved.basis.N, force


def main():
    out = subprocess.run(["cargo", "bench", "-q", "-p", "steel", "--bench", "solve"], capture_output=True, text=True, check=True).stdout
    scale = {"µs": 1e-6, "ms": 1e-3, "s": 1.0}
    times = [float(t) * scale[unit] for t, unit in re.findall(r"^(?:.*─ \d+ +)?([\d.]+) (µs|ms|s) +│", out, re.M)]
    sizes = re.findall(r"unknowns (\d+) force ([\d.]+)", out)
    count, ours = Problem(PARTS, None, *LARGE).basis.N, int(sizes[1][0])
    if abs(count / ours - 1) > APART:
        raise SystemExit(f"{count} unknowns there and {ours} here are not to be compared: change LARGE")
    print(f"{'':18}{'unknowns':>10}{'force N':>10}{'ms':>8}{'ratio':>8}")
    for setting, runs, ours, (unknowns, force) in zip((SMALL, LARGE), (7, 3), times, sizes):
        seconds, count, pull = theirs(setting, runs)
        print(f"{'general-purpose':18}{count:10}{pull:10.4f}{seconds * 1e3:8.1f}")
        print(f"{'here':18}{unknowns:>10}{float(force):10.4f}{ours * 1e3:8.1f}{seconds / ours:8.1f}")


if __name__ == "__main__":
    main()
