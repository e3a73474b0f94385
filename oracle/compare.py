"""Compares two files of JSON lines: the same lines with the same texts, and numbers that differ by no more than the last digits of a sparse solver on another machine.

Usage: python compare.py committed.jsonl made.jsonl
"""

import json
import math
import sys

# Relative to the number, or in a list to the magnitude of the list: on one machine runs are equal to the last digit.
ALLOWED = 1e-6
# How far two meshes differ is written with six digits after the point.
ROUNDED = {"meshes_differ": 2e-6}


def differ(a, b, place="", key=None):
    """The first place where they do, or None."""
    numbers = lambda v: isinstance(v, list) and v and all(isinstance(x, (int, float)) for x in v)
    if isinstance(a, dict) and isinstance(b, dict) and a.keys() == b.keys():
        return next((d for k in a if (d := differ(a[k], b[k], f"{place}/{k}", k))), None)
    if isinstance(a, (int, float)) and isinstance(b, (int, float)):
        a, b = [a], [b]
    if numbers(a) and numbers(b) and len(a) == len(b):
        return None if math.dist(a, b) <= ROUNDED.get(key, ALLOWED * math.hypot(*a)) else f"{place}: {a} became {b}"
    if isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
        return next((d for k, (x, y) in enumerate(zip(a, b)) if (d := differ(x, y, f"{place}/{k}", key))), None)
    return None if a == b else f"{place}: {a} became {b}"


def main():
    committed, made = ([json.loads(line) for line in open(path)] for path in sys.argv[1:3])
    found = [f"line {k + 1}{d}" for k, (a, b) in enumerate(zip(committed, made)) if (d := differ(a, b))]
    if len(committed) != len(made):
        found.append(f"{len(committed)} lines became {len(made)}")
    if found:
        raise SystemExit("\n".join(found))


if __name__ == "__main__":
    main()
