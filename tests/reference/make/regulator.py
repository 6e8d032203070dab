"""The bypass valve of a pump whose gun is shut: a poppet on a spring, the line a lumped volume."""

from math import pi, sqrt

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from .closed import BAR, LITRE_PER_MIN, RHO, bore
from .table import Table

CASES = (
    # name, spring N/mm, damping N s/m, volume L, set bar, pump and nozzle L/min, closing s
    ("soft air-type load", 200.0, 2000.0, 3.0, 1000.0, 110.0, 100.0, 0.05),
    ("stiff spring", 2000.0, 2000.0, 3.0, 1000.0, 110.0, 100.0, 0.05),
    ("soft, slow (high damping)", 200.0, 200_000.0, 3.0, 1000.0, 110.0, 100.0, 0.05),
    ("long line, gentle", 200.0, 2000.0, 8.0, 700.0, 60.0, 45.0, 0.2),
    ("small pump, high pressure", 200.0, 2000.0, 1.0, 2500.0, 22.0, 20.0, 0.1),
    ("shut at once", 200.0, 5000.0, 3.0, 1000.0, 110.0, 100.0, 0.001),
    ("damped, short line", 200.0, 6000.0, 0.3, 1000.0, 110.0, 100.0, 0.05),
    ("short line, at the edge", 200.0, 2000.0, 0.3, 1000.0, 110.0, 100.0, 0.05),
    ("short line, just past the edge", 200.0, 2200.0, 0.3, 1000.0, 110.0, 100.0, 0.05),
    ("short line", 200.0, 1500.0, 0.3, 1000.0, 110.0, 100.0, 0.05),
    ("short line, hardly damped", 200.0, 300.0, 0.3, 1000.0, 110.0, 100.0, 0.05),
    ("little flow, hardly damped", 200.0, 100.0, 1.0, 1000.0, 30.0, 20.0, 0.05),
)
SEAT_MM, MASS, MODULUS_GPA = 8.0, 0.3, 1.5


def bypass(lift, p):
    """Flow past the poppet, m3/s."""
    return 0.7 * pi * SEAT_MM / 1000.0 * lift * np.sqrt(2.0 * np.maximum(p, 0.0) / RHO)


def shut_off():
    for name, spring_mm, damping, volume_l, set_bar, pump_l, nozzle_l, closing in CASES:
        seat, set_pa = bore(SEAT_MM), set_bar * BAR
        pump, nozzle = pump_l * LITRE_PER_MIN, nozzle_l * LITRE_PER_MIN
        stiff = MODULUS_GPA * 1e9 / (volume_l / 1000.0)
        lift = (pump - nozzle) / bypass(1.0, set_pa)
        spring = 1000.0 * spring_mm
        load = seat * set_pa - spring * lift

        def slope(t, y):
            p, x, v = y
            out = nozzle * max(0.0, 1.0 - t / closing) * sqrt(max(p, 0.0) / set_pa)
            push = seat * p - load - spring * x - damping * v
            return [stiff * (pump - out - bypass(max(x, 0.0), p)), v, push / MASS]

        def balance(p):
            return bypass((seat * p - load) / spring, p) - pump

        after = brentq(balance, set_pa, 2.0 * set_pa, xtol=1e-3)
        # Routh's criterion at the point where the valve settles.
        a = stiff * bypass(1.0, after)
        b = stiff * pump / (2.0 * after)
        routh = (damping + MASS * b) * (spring + damping * b) / (MASS * (spring * b + seat * a))
        how = {"method": "Radau", "rtol": 1e-11, "atol": [1e-3, 1e-15, 1e-11]}
        if routh <= 1.0:
            # It goes on swinging: nothing but the verdict is told.
            yield (
                name, routh, "hunts", set_bar, pump_l, nozzle_l, volume_l, MODULUS_GPA, SEAT_MM,
                spring_mm, MASS, damping, closing, load, 1000.0 * lift, after / BAR, "", "", "", "",
            )  # fmt: skip
            continue
        first = solve_ivp(slope, (0.0, closing), [set_pa, lift, 0.0], **how)
        turns = lambda t, y: slope(t, y)[0]
        turns.direction = -1.0
        arrives = lambda _, y: y[0] - after * (1.0 - 1e-9)
        second = solve_ivp(slope, (closing, 4.0), first.y[:, -1], events=(turns, arrives), **how)
        times, states = second.t_events[0], second.y_events[0]
        if len(times) and states[0][0] > after * (1.0 + 1e-6):
            most, at_most = states[0][0], times[0]
        else:
            # The pressure only creeps up to where it stays: the time at which 1e-9 is left.
            most, at_most = after, second.t_events[1][0]
        yield (
            name, routh, "stable", set_bar, pump_l, nozzle_l, volume_l,
            MODULUS_GPA, SEAT_MM, spring_mm, MASS, damping, closing, load, 1000.0 * lift,
            after / BAR, 1000.0 * (seat * after - load) / spring, most / BAR, at_most,
            second.y[0][-1] / BAR,
        )  # fmt: skip

TABLES = [
    Table(
        "regulating_valve.csv",
        [
            "Bypass poppet: m x\"=As*P-F0-k*x-c*v, Qb=0.7*pi*Ds*x*sqrt(2P/rho) (no flow force, no seat friction); nozzle area falls linearly to zero in t_close; pressure in lumped volume. Static pressure after shut-off, peak and its time; where the pressure only creeps up (stiff spring), the time at which 1e-9 of it is left. Where it hunts by Routh's criterion, only the verdict and the pressure of its balance",
            "computed with: scipy 1.17.1 (Radau)",
        ],
        "case,routh_ratio_gt1_stable,verdict,P_set_bar,Q_pump_L_min,Q_nozzle_L_min,V_L,Ke_GPa,seat_mm,k_N_mm,m_kg,c_Ns_m,t_close_s,F0_N,x0_mm,P_static_after_bar,x_after_mm,P_peak_bar,t_peak_s,P_at_4s_bar",
        shut_off,
        {"t_peak_s": 1000},
    ),
]
