"""Makes game/hydraulics/src/water/table.rs.

    python -m venv venv && venv/bin/pip install CoolProp==8.0.0 numpy==2.4.6
    venv/bin/python tests/reference/water_table.py > game/hydraulics/src/water/table.rs

CoolProp's HEOS::Water is IAPWS-95 (IAPWS R6-95). Specific volume is fitted by a polynomial of
Chebyshev's over temperature and absolute pressure, heat capacity at one atmosphere by one over
temperature. What the fit leaves is printed to stderr, looked at between the fitted points.
"""

import sys

import CoolProp.CoolProp as cp
import numpy as np
from numpy.polynomial import chebyshev as ch

LOW_C, HIGH_C = 0.0, 60.0
LOW_PA, HIGH_PA = 101_325.0, 3.2e8
IN_T, IN_P, IN_CP = 7, 7, 8


def water(what, celsius, pascal):
    return cp.PropsSI(what, "T", celsius + 273.15, "P", pascal, "Water")


def nodes(count, low, high):
    x = np.cos(np.pi * (np.arange(count) + 0.5) / count)
    return x, low + (high - low) * (x + 1.0) / 2.0


def fit():
    x, celsius = nodes(IN_T + 9, LOW_C, HIGH_C)
    y, pascal = nodes(IN_P + 9, LOW_PA, HIGH_PA)
    volume = np.array([[1.0 / water("D", t, p) for p in pascal] for t in celsius])
    along_t = np.linalg.lstsq(ch.chebvander(x, IN_T), volume, rcond=None)[0]
    both = np.linalg.lstsq(ch.chebvander(y, IN_P), along_t.T, rcond=None)[0].T
    x, celsius = nodes(40, LOW_C, HIGH_C)
    heat = [water("C", t, LOW_PA) for t in celsius]
    return both, np.linalg.lstsq(ch.chebvander(x, IN_CP), heat, rcond=None)[0]


def left(volume, heat):
    worst_v = worst_c = 0.0
    for t in np.linspace(0.02, 60.0, 38):
        x = 2.0 * (t - LOW_C) / (HIGH_C - LOW_C) - 1.0
        worst_c = max(worst_c, abs(ch.chebval(x, heat) / water("C", t, LOW_PA) - 1.0))
        for p in np.linspace(LOW_PA, HIGH_PA, 38):
            y = 2.0 * (p - LOW_PA) / (HIGH_PA - LOW_PA) - 1.0
            worst_v = max(worst_v, abs(ch.chebval2d(x, y, volume) * water("D", t, p) - 1.0))
    print(f"volume {worst_v:.1e}, heat capacity {worst_c:.1e}, relative", file=sys.stderr)


def main():
    volume, heat = fit()
    left(volume, heat)
    print("//! Water's volume and heat, made by `tests/reference/water_table.py` of IAPWS-95")
    print("//! (IAPWS R6-95, as CoolProp 8.0.0 evaluates it).")
    print()
    print("/// Temperatures that the tables reach over, degrees Celsius.")
    print(f"pub const CELSIUS: [f64; 2] = [{LOW_C:.1f}, {HIGH_C:.1f}];")
    print("/// Absolute pressures that the tables reach over, Pa.")
    print(f"pub const PASCAL: [f64; 2] = [{LOW_PA:.1f}, {HIGH_PA:.1f}];")
    print("/// Chebyshev coefficients of the specific volume, m3/kg: rows over temperature, columns")
    print("/// over pressure.")
    print(f"pub const VOLUME: [[f64; {IN_P + 1}]; {IN_T + 1}] = [")
    for row in volume:
        print("    [")
        for value in row:
            print(f"        {value:.12e},")
        print("    ],")
    print("];")
    print("/// Of the heat capacity at one atmosphere, J/(kg K), over temperature.")
    print(f"pub const HEAT: [f64; {IN_CP + 1}] = [")
    for value in heat:
        print(f"    {value:.10e},")
    print("];")


main()
