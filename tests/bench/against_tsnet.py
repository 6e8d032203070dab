"""How much faster the line of `game/hydraulics` is than tsnet's solver where both are as accurate.

    python3.11 -m venv venvt && venvt/bin/pip install -r tests/reference/requirements_tsnet.txt
    venvt/bin/python tests/bench/against_tsnet.py

Builds `closing_valve` of this folder as a release (`CARGO_TARGET_DIR` says where to), takes half
a minute, and ends with 1 if we are less than 300 times as fast, or never as accurate.

The case is that of `tests/reference/make_tsnet.py`: a reservoir of 200 m, 600 m of pipe, a valve
whose flow falls evenly to nothing in 2 s, 8 s in all.

- **Time** is that of tsnet's `MOCSimulator` alone, told to write no file, and that of our loop of
  steps alone. Reading and building the network or the line, and its steady flow, are outside of
  both. Both do one run at a time on one core. They take turns, and of each the quickest run counts:
  whatever else the machine does makes a run longer and never shorter.
- **Error** is the greatest difference of the head at the valve, over all times that tsnet gives
  (every 0.01 s), from the method of characteristics on a grid of 4000 reaches; tsnet has 50. All
  three count with tsnet's gravity of 9.8 m/s2 (a number in its source) and its factor of friction,
  so that a constant is not held against it: what is left is the error of the grid. Where our steps
  are longer than 0.01 s our head is drawn straight between them, and what that misses counts as
  our error.
- **Equal accuracy**: the fewest cells with which our error, and that with any more cells up to
  tsnet's 50, is no greater than tsnet's. Beside it stand the figures for tsnet's own 50.
"""

import json
import os
import platform
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "reference"))

import make_tsnet  # noqa: E402
from make.waves import Line, held  # noqa: E402

WANTED = 300.0
GRAVITY = 9.8
RESERVOIR, LENGTH, BORE, WAVE = 200.0, 600.0, 0.5, 1200.0
FINE, THEIRS = 4000, 50
ROUNDS, RUNS_OF_TSNET, RUNS_OF_OURS = 8, 3, 400


def fine(speed, factor, reaches, count):
    """Heads at the valve at the first `count` multiples of tsnet's step."""
    line = Line(LENGTH, WAVE, reaches, rho=make_tsnet.RHO, bore=BORE, factor=factor)
    weight = make_tsnet.RHO * GRAVITY
    line.steady(RESERVOIR * weight, speed)
    upper = held(RESERVOIR * weight, line.impedance)
    every = round(make_tsnet.STEP / line.step)
    out = [line.p[-1] / weight]
    for i in range(1, (count - 1) * every + 1):
        now = speed * max(0.0, 1.0 - i * line.step / make_tsnet.CLOSING)
        line.advance(upper, lambda down: (down - line.impedance * now, now))
        if i % every == 0:
            out.append(line.p[-1] / weight)
    return np.array(out)


def timed_tsnet():
    """Heads, speeds, seconds of one run."""
    model = make_tsnet.ready()
    began = time.perf_counter()
    speed, head = make_tsnet.solve(model)
    return head, speed, time.perf_counter() - began


def program():
    """Builds ours; gives where it lies."""
    command = ["cargo", "build", "--release", "--bin", "closing_valve", "--message-format", "json"]
    command += ["--manifest-path", str(HERE / "Cargo.toml")]
    told = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True).stdout
    for line in told.splitlines():
        message = json.loads(line)
        if message.get("executable") and message["target"]["name"] == "closing_valve":
            return message["executable"]
    sys.exit("cargo named no program")


def main():
    ours = program()
    head, speed, first = timed_tsnet()
    took_tsnet = [first]
    times = np.arange(len(head)) * make_tsnet.STEP
    start = speed[0]
    factor = (RESERVOIR - head[0]) / (LENGTH / BORE * start**2 / (2.0 * GRAVITY))
    evenly = start * np.maximum(0.0, 1.0 - times / make_tsnet.CLOSING)
    if np.abs(speed - evenly).max() > 1e-9:
        sys.exit("the valves do not close alike")

    def run(cells, runs):
        """Seconds of our quickest run, and heads at tsnet's times."""
        words = [cells, GRAVITY, start, factor, times[-1], runs]
        told = subprocess.run([ours, *map(str, words)], stdout=subprocess.PIPE, check=True).stdout
        told = json.loads(told)
        return told["best_s"], np.interp(times, told["times_s"], told["heads_m"])

    truth = fine(start, factor, FINE, len(times))
    doubt = np.abs(truth - fine(start, factor, FINE // 2, len(times))).max()

    def error(heads):
        return np.abs(heads - truth).max()

    theirs = error(head)
    errors = {cells: error(run(cells, 1)[1]) for cells in range(1, THEIRS + 1)}
    # `not <=`, so that a head that is no number is no success.
    bad = [cells for cells, found in errors.items() if not found <= theirs]
    chosen = max(bad, default=0) + 1
    if chosen > THEIRS:
        sys.exit(f"{THEIRS} cells of ours miss by {errors[THEIRS]:.5f} m, tsnet by {theirs:.5f} m")

    took = {chosen: [], THEIRS: []}
    for _ in range(ROUNDS):
        took_tsnet += [timed_tsnet()[2] for _ in range(RUNS_OF_TSNET)]
        for cells, found in took.items():
            found.append(run(cells, RUNS_OF_OURS)[0])

    best = min(took_tsnet)
    libraries = ", ".join(f"{name} {version(name)}" for name in ("tsnet", "wntr", "numpy"))
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    print(f"fine grid   {FINE} reaches; half as many differ by {doubt:.5f} m")
    print(
        f"tsnet       {THEIRS} reaches: {1e3 * best:.1f} ms (best of {len(took_tsnet)},"
        f" median {1e3 * np.median(took_tsnet):.1f}), error {theirs:.5f} m; {libraries}"
    )
    for cells, found in took.items():
        print(
            f"ours        {cells} cells: {1e3 * min(found):.4f} ms"
            f" (best of {ROUNDS * RUNS_OF_OURS}, release build), error {errors[cells]:.5f} m:"
            f" {best / min(found):.0f} times as fast"
        )
    ratio = best / min(took[chosen])
    print(f"at equal accuracy {ratio:.0f} times as fast as tsnet, wanted {WANTED:.0f}")
    if not ratio >= WANTED:
        sys.exit(1)


if __name__ == "__main__":
    main()
