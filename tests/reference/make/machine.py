"""The machine around the pump: oil over temperature, its cooler, the suction."""

from math import exp, log10, pi

import CoolProp.CoolProp as cp
from chemicals.viscosity import viscosity_index
from fluids.core import dP_from_K
from ht.hx import effectiveness_from_NTU
from scipy.optimize import brentq

from .closed import BAR, LITRE_PER_MIN
from .table import Table
from .water import ATMOSPHERE, ZERO, at

GRADES = (32, 46, 68, 100, 150, 220, 320, 460)
INDEX = 95
DEGREES = (-10, 0, 10, 20, 30, 50, 60, 70, 80, 90, 110, 120)
G = 9.80665


def hot(grade):
    """Viscosity at 100 degC, mm2/s, rounded to what a sheet would have, that makes the index."""
    miss = lambda v: viscosity_index(grade * 1e-6, v * 1e-6, rounding=False) - INDEX
    return round(brentq(miss, 3.0, 60.0), 2)


def with_terms(v):
    """Z of D341 with the terms that count down to 0.21 mm2/s."""
    return v + 0.7 + exp(-1.47 - 1.84 * v - 0.51 * v * v)


def thick(grade, at_100, celsius):
    """Viscosity at a temperature, mm2/s: the standard's line, solved for v and not by its fit."""
    line = [(log10(ZERO + c), log10(log10(with_terms(v)))) for c, v in ((40.0, grade), (100.0, at_100))]
    (x1, y1), (x2, y2) = line
    y = y1 + (y2 - y1) * (log10(ZERO + celsius) - x1) / (x2 - x1)
    z = 10.0 ** (10.0**y)
    return brentq(lambda v: with_terms(v) - z, 0.21, z)


def oils():
    for grade in GRADES:
        at_100 = hot(grade)
        for celsius in DEGREES:
            yield grade, at_100, celsius, thick(grade, at_100, celsius)


def coolers():
    for units in (0.05, 0.2, 0.5, 1.0, 2.0, 4.0):
        for ratio in (0.0, 0.1, 0.3, 0.6, 0.9, 1.0):
            yield units, ratio, effectiveness_from_NTU(NTU=units, Cr=ratio, subtype="counterflow")


# bore mm, length m, bar still, L/min at which the booster gives nothing, losses of line, valve,
# strainer, factors C and K, heads required and for the valves m, rpm at which required
SUCTIONS = (
    (32, 3.0, 3.0, 120, 6.0, 0.5, 4.0, 0.066, 1.4, 6.0, 2.0, 500),
    (50, 5.0, 2.0, 300, 8.0, 0.5, 6.0, 0.040, 1.4, 7.0, 2.0, 400),
    (25, 1.5, 0.1, 1e9, 3.0, 10.0, 2.0, 0.066, 1.5, 3.0, 1.0, 600),
)
# degC, rpm, opening, share of the strainer that is blocked
STATES = (
    (5, 500, 1.0, 0.0),
    (20, 200, 1.0, 0.0),
    (20, 500, 0.25, 0.0),
    (20, 500, 1.0, 0.8),
    (35, 400, 0.5, 0.5),
    (55, 500, 1.0, 0.9),
)


def suctions():
    for bore, length, bar, stalls, line, valve, strainer, c, k, required, springs, rated in SUCTIONS:
        area = pi * (bore * 1e-3) ** 2 / 4
        for celsius, rpm, opening, fouled in STATES:
            dense, boils = at("D", celsius, ATMOSPHERE), cp.PropsSI("P", "T", ZERO + celsius, "Q", 0, "Water")
            losses = line + valve / opening**2 + strainer / (1 - fouled) ** 2

            def inlet(flow):
                booster = bar * BAR * (1 - (flow / (stalls * LITRE_PER_MIN)) ** 2)
                return booster - dP_from_K(K=losses, rho=dense, V=flow / area)

            def surge(flow):
                return length * (flow / area) * rpm * c / (k * G)

            def spare(flow):
                needed = springs + (required - springs) * (rpm / rated) ** 2
                return (inlet(flow) + ATMOSPHERE - boils) / (dense * G) - surge(flow) - needed

            most = brentq(spare, 0.0, 0.1, xtol=1e-14)
            yield (
                bore, length, bar, stalls, line, valve, strainer, c, k, required, springs, rated,
                celsius, rpm, opening, fouled, most / LITRE_PER_MIN, inlet(most) / BAR, surge(most),
            )  # fmt: skip


TABLES = [
    Table(
        "oil_viscosity.csv",
        [
            "Kinematic viscosity of ISO 3448 grades with a viscosity index of 95 over temperature: ASTM D341 with its terms for thin liquids, a line of log10(log10(Z)) over log10(T) through 40 and 100 degC, solved for the viscosity. The viscosity at 100 degC is the one that gives the index by ASTM D2270",
            "computed with: chemicals 1.5.2 (viscosity_index, ASTM D2270), scipy 1.17.1 (root finding); the line evaluated here",
        ],
        "grade_mm2_s,v100_mm2_s,T_C,v_mm2_s",
        oils,
    ),
    Table(
        "oil_cooler.csv",
        [
            "Effectiveness of a counterflow heat exchanger over its number of transfer units and the ratio of capacity rates",
            "computed with: ht 1.2.0 (effectiveness_from_NTU)",
        ],
        "NTU,Cr,effectiveness",
        coolers,
    ),
    Table(
        "suction.csv",
        [
            "Most flow that a suction brings to a plunger pump: where the net positive suction head at the pump's inlet, less the acceleration head L V N C/(K g), is that required, NPSHr = springs + (required - springs) (N/N_rated)^2. Booster p = p_still (1 - (Q/Q_stall)^2), losses in velocity heads of the line, K_valve/opening^2 and K_strainer/(1 - fouled)^2. Gauge pressures. C and K are given numbers here and prove nothing about pumps",
            "computed with: CoolProp 8.0.0 HEOS::Water (density at 1 atm, saturation pressure), fluids 1.3.1 (dP_from_K), scipy 1.17.1 (root finding)",
        ],
        "bore_mm,length_m,still_bar,stall_L_min,K_line,K_valve,K_strainer,C_min_s,K_springy,NPSHr_m,NPSH_springs_m,rated_rpm,T_C,rpm,opening,fouled,Q_L_min,inlet_bar,acceleration_head_m",
        suctions,
    ),
]
