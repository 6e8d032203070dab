"""Compares the rows of water_properties.csv with a second library's IAPWS-95 and viscosity, and
prints the figures that stand in its head. A script of its own, because that library is licensed
as GPL-3.0, unlike the others.

    python -m venv venvi && venvi/bin/pip install iapws==1.5.5 CoolProp==8.0.0
    venvi/bin/python tests/reference/check_iapws.py
"""

import csv
import sys
from pathlib import Path

import CoolProp.CoolProp as cp
from iapws import IAPWS95

COLUMNS = {"rho": ("rho_kg_m3", "D"), "mu": ("mu_Pa_s", "V"), "w": ("sound_m_s", "A")}
worst = dict.fromkeys(COLUMNS, 0.0)
written = dict.fromkeys(COLUMNS, 0.0)
with open(Path(__file__).resolve().parent / "water_properties.csv", encoding="utf-8") as lines:
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        kelvin, bar = float(row["T_C"]) + 273.15, float(row["P_bar_abs"])
        second = IAPWS95(T=kelvin, P=bar / 10.0)
        for name, (column, what) in COLUMNS.items():
            value = float(getattr(second, name))
            first = cp.PropsSI(what, "T", kelvin, "P", bar * 1e5, "Water")
            worst[name] = max(worst[name], abs(first / value - 1.0))
            written[name] = max(written[name], abs(float(row[column]) / value - 1.0))
print("between the libraries:", {name: f"{value:.1e}" for name, value in worst.items()})
# Seven digits are written: half a unit of the last is at most 5e-7.
if max(written.values()) > 5.1e-7 or max(worst.values()) > 1e-8:
    sys.exit("the two libraries, or the table and the second, differ by more than rounding")
