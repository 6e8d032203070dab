"""Makes waterhammer_tsnet.csv, or compares a fresh one with the file that is there.

    python -m venv venvt && venvt/bin/pip install -r tests/reference/requirements_tsnet.txt
    venvt/bin/python tests/reference/make_tsnet.py [--check]

A reservoir of 200 m, two pipes of 300 m and 0.5 m with 0.1 mm roughness, an end valve of loss
factor 800 whose flow falls evenly to nothing. tsnet counts with g = 9.8 m/s2, the second method
with 9.81: most of what the two differ by.
"""

import contextlib
import io
import os
import sys
import tempfile
from pathlib import Path

import tsnet

from make import table
from make.waves import Line, held

GRAVITY = 9.81
RHO = 1000.0
CLOSING, END, STEP = 2.0, 8.0, 0.01
NETWORK = """[JUNCTIONS]
J1 0 0
J2 0 0
[RESERVOIRS]
R1 200
R2 0
[PIPES]
P1 R1 J1 300 500 0.1 0 Open
P2 J1 J2 300 500 0.1 0 Open
[VALVES]
V1 J2 R2 500 TCV 800 0
[TIMES]
Duration 0
[OPTIONS]
Units LPS
Headloss D-W
Accuracy 1e-8
[END]
"""


def ready():
    """The network in its steady flow, as the solver takes it."""
    here = os.getcwd()
    # The library writes files where it stands and prints as it goes.
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        os.chdir(folder)
        try:
            Path("line.inp").write_text(NETWORK, encoding="utf-8")
            model = tsnet.network.TransientModel("line.inp")
            model.set_wavespeed(1200.0)
            model.set_time(END, STEP)
            model.valve_closure("V1", [CLOSING, 0, 0, 1])
            return tsnet.simulation.Initializer(model, 0, "DD")
        finally:
            os.chdir(here)


def solve(model):
    """Speed and head at the valve, from time 0; writes no file."""
    with contextlib.redirect_stdout(io.StringIO()):
        model = tsnet.simulation.MOCSimulator(model, "no", "steady")
    pipe = model.get_link("P2")
    return pipe.end_node_velocity, pipe.end_node_head


def by_line(speed, head, count):
    """Friction factor, and heads at the valve by the method of characteristics."""
    factor = (200.0 - head) / (600.0 / 0.5 * speed**2 / (2.0 * GRAVITY))
    line = Line(600.0, 1200.0, 50, rho=RHO, bore=0.5, factor=factor)
    weight = RHO * GRAVITY
    line.steady(200.0 * weight, speed)
    upper = held(200.0 * weight, line.impedance)
    out = [line.p[-1] / weight]
    for i in range(1, count):
        now = speed * max(0.0, 1.0 - i * line.step / CLOSING)
        line.advance(upper, lambda down: (down - line.impedance * now, now))
        out.append(line.p[-1] / weight)
    return factor, out


def main():
    speed, theirs = solve(ready())
    factor, ours = by_line(speed[0], theirs[0], len(theirs))
    simple = theirs[0] + 1200.0 * speed[0] / GRAVITY * (2.0 * 600.0 / 1200.0) / CLOSING
    made = table.Table(
        "waterhammer_tsnet.csv",
        [
            f"reservoir 200 m - 2x300 m pipe D=0.5 m, a=1200 m/s, f={factor:.4g}"
            " - end valve, velocity falls linearly to 0 in 2 s; head at valve from tsnet and from"
            " own MOC (N=50, quasi-steady friction)",
            "computed with: tsnet 0.3.1, wntr 1.0.0, numpy 1.26.4; peak tsnet"
            f" {max(theirs):.3f} m, own {max(ours):.3f} m, frictionless closed form"
            f" H+a*V0/(g)*(2L/a)/Tc={simple:.3f} m",
        ],
        "t_s,V_valve_m_s,H_tsnet_m,H_own_moc_m",
        lambda: (
            (f"{i * STEP:.3f}", f"{speed[i]:.5f}", f"{theirs[i]:.3f}", f"{ours[i]:.3f}")
            for i in range(0, len(theirs), 10)
        ),
    )
    path = Path(__file__).resolve().parent / made.name
    if sys.argv[1:] != ["--check"]:
        path.write_text(made.text(), encoding="utf-8", newline="\n")
        return
    # One unit of the last decimal that is written.
    units = {"V_valve_m_s": 100, "H_tsnet_m": 10, "H_own_moc_m": 10}
    found = table.differences(made.name, path.read_text(encoding="utf-8"), made.text(), units)
    print("\n".join(found))
    if found:
        sys.exit(f"{len(found)} differences")


if __name__ == "__main__":
    main()
