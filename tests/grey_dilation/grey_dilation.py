"""Holds the cutter surface against the grey dilation of an independent library.

Run from the project's folder, with scipy and numpy at hand:

    cargo build --release --example cutter_surface
    python3 tests/grey_dilation/grey_dilation.py

For several cutters and reliefs it writes the relief, lets the example find the surface at
every node, and compares it with scipy.ndimage.grey_dilation. The heights must agree within
1e-4 mm; it ends with 1 if they do not.
"""

import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy.ndimage import grey_dilation

CELL = 0.1
ALLOWED = 1e-4
PROGRAM = Path("target/release/examples/cutter_surface")


def ball(r):
    return lambda d: r - np.sqrt(np.maximum(r * r - d * d, 0.0))


def bull(radius, corner):
    return lambda d: ball(corner)(np.maximum(d - (radius - corner), 0.0))


def cone(tip, angle):
    return lambda d: np.maximum(d - tip, 0.0) / math.tan(angle / 2)


def taper(r, angle):
    sine, cosine = math.sin(angle / 2), math.cos(angle / 2)
    meet = r * cosine
    on_cone = lambda d: r * (1 - sine) + (d - meet) * cosine / sine
    return lambda d: np.where(d <= meet, ball(r)(np.minimum(d, meet)), on_cone(d))


CUTTERS = {
    "flat 3": (1.5, lambda d: np.zeros_like(d), ["flat", "1.5"]),
    "ball 1": (0.5, ball(0.5), ["ball", "0.5"]),
    "ball 3": (1.5, ball(1.5), ["ball", "1.5"]),
    "ball 6.35": (3.175, ball(3.175), ["ball", "3.175"]),
    "ball 12": (6.0, ball(6.0), ["ball", "6.0"]),
    "bull 6 r 1": (3.0, bull(3.0, 1.0), ["bull-nose", "3.0", "1.0"]),
    "v 60 tip 0.5": (2.0, cone(0.25, math.radians(60)), ["cone", "2.0", "0.25", "60"]),
    "taper 1 at 20": (1.5, taper(0.5, math.radians(20)), ["taper-ball", "1.5", "0.5", "20"]),
}


def reliefs():
    rows, columns = 300, 500
    y, x = np.mgrid[0:rows, 0:columns] * CELL
    bumps = 3 * np.sin(x / 3) * np.cos(y / 4) + 0.3 * np.sin(3 * x) * np.sin(2.5 * y)
    steps = np.floor(x / 7) % 2 * 4.0 + np.where(y > 15, 1.5, 0.0)
    noise = np.random.default_rng(1).uniform(-3, 3, (rows, columns))
    cell = lambda z: z.astype(np.float32)
    return {"bumps": cell(bumps), "steps": cell(steps), "noise": cell(noise)}


def ours(relief, words):
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder, "in"), Path(folder, "out")
        source.write_bytes(relief.astype("<f4").tobytes())
        rows, columns = relief.shape
        command = [PROGRAM, source, target, str(columns), str(rows), str(CELL), *words]
        subprocess.run(command, check=True)
        return np.frombuffer(target.read_bytes(), "<f4").reshape(relief.shape)


def main():
    worst = 0.0
    for name, (radius, section, words) in CUTTERS.items():
        reach = int(radius / CELL + 1e-9)
        offsets = np.arange(-reach, reach + 1) * CELL
        distance = np.hypot(offsets[:, None], offsets[None, :])
        under = distance <= radius * (1 + 1e-9)
        structure = -section(np.minimum(distance, radius))
        for kind, relief in reliefs().items():
            theirs = grey_dilation(
                relief.astype(np.float64), footprint=under, structure=structure,
                mode="constant", cval=-1e9,
            )
            off = float(np.max(np.abs(theirs - ours(relief, words))))
            worst = max(worst, off)
            print(f"{name:14} {kind:6} largest difference {off:.2e} mm")
    print(f"largest of all {worst:.2e} mm, allowed {ALLOWED:.0e} mm")
    return int(not worst <= ALLOWED)


if __name__ == "__main__":
    sys.exit(main())
