"""The column of published_checks.csv that is computed: everything else in it is typed by hand."""

import csv
import io
from math import pi, sqrt
from pathlib import Path

import CoolProp.CoolProp as cp
from fluids.friction import Churchill_1977, Haaland, friction_factor

from .closed import (
    BAR,
    GALLON_PER_MIN,
    INCH,
    LITRE_PER_MIN,
    POUND_FORCE,
    PSI,
    RHO,
    bore,
)
from .table import cell, split

NAME = "published_checks.csv"


# The sheet's constants, rounded as it has them: m/s and N with bar and L/min, lbf with psi and
# gpm; gpm with inches and psi is not rounded.
SPEED, THRUST, THRUST_LBF = 14.155, 0.23549, 0.05262
FLOW_GPM = pi / 4.0 * INCH**2 * sqrt(2.0 * PSI / RHO) / GALLON_PER_MIN


def thrust(bar, litre):
    return THRUST * litre * sqrt(bar)


def change_of_momentum():
    flow = 400.0 * LITRE_PER_MIN
    return RHO * flow * (flow / bore(7.7) - flow / bore(69.0))


def kinetic_power():
    """As in the exercise: the flow is that of the contracted jet at the ideal speed, only the
    energy is that of the speed that is left. With that speed in both it were 372.5 MPa."""
    area = 0.65 * bore(0.3)
    share = (0.98 * 0.96) ** 2
    ideal = (2.0 * 12_300.0 / (1000.0 * area * share)) ** (1.0 / 3.0)
    return 1000.0 / 2.0 * ideal**2 / 1e6


BY_ID = {
    "N1": lambda: thrust(1000, 34),
    "N2": lambda: SPEED * sqrt(1000),
    "N3": lambda: thrust(2500, 20),
    "N4": lambda: SPEED * sqrt(2500),
    "N5": lambda: thrust(2500, 40),
    "N6": lambda: (400.0 / (FLOW_GPM * 1.25**2)) ** 2,
    "N7": lambda: pi / 2.0 * 1.25**2 * 74.25,
    "N8": lambda: THRUST_LBF * 150 * sqrt(100),
    "N9": lambda: FLOW_GPM * (15 / 16) ** 2 * sqrt(50),
    "N10": change_of_momentum,
    "N11": lambda: 1000.0 * (5.0 / 60.0) ** 2 / bore(60.0),
    "N12": kinetic_power,
    "N13": lambda: SPEED * sqrt(35_500 * PSI / BAR) / (63_360 * INCH / 3600.0),
    "P1": lambda: 72 * 20_000 / 1714.0,
    "P2": lambda: 143 * 10_000 / 1714.0,
    "A1": lambda: 12.0 * 3600.0 / 2.0 ** ((115 - 83) / 3.0),
    "O1": lambda: 60 * POUND_FORCE,
    "O2": lambda: 75 * POUND_FORCE,
    "O3": lambda: 95 * POUND_FORCE,
}


def figure(text, name):
    """What stands behind a name and a sign of equality."""
    return float(text.split(f"{name}=")[1].split()[0])


def library(row, inputs):
    """Values of the rows that have no number of their own: water and friction factors."""
    if row["id"] == "F":
        reynolds, rough = figure(inputs, "Re"), figure(inputs, "eD")
        if row["quantity"].endswith("Colebrook"):
            return friction_factor(Re=reynolds, eD=rough)
        law = Haaland if row["quantity"].endswith("Haaland") else Churchill_1977
        return law(reynolds, rough)
    what, scale = {"pressure": ("P", 1e-6), "sound speed": ("A", 1.0), "viscosity": ("V", 1e6)}[
        row["quantity"]
    ]
    state = ("T", figure(inputs, "T"), "D", figure(inputs, "rho"), "Water")
    return scale * cp.PropsSI(what, *state)


def text(path: Path) -> str:
    """The file with its column computed anew."""
    head, columns, rows = split(path.read_text(encoding="utf-8"))
    out = io.StringIO()
    out.writelines(f"{line}\n" for line in head)
    out.write(",".join(columns) + "\n")
    write = csv.writer(out, lineterminator="\n").writerow
    inputs = ""
    for cells in rows:
        row = dict(zip(columns, cells))
        inputs = inputs if row["inputs"] == "same" else row["inputs"]
        make = BY_ID.get(row["id"])
        row["sheet_formula_value"] = cell(make() if make else library(row, inputs))
        write(row.values())
    return out.getvalue()
