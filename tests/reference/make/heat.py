"""A stirred tank that is heated by a bypass throttled back into it and cooled by fresh water."""

from math import exp

import CoolProp.CoolProp as cp
from scipy.integrate import solve_ivp

from .closed import BAR, LITRE_PER_MIN
from .table import Table
from .water import ATMOSPHERE, ZERO, at, isentropic

# mass kg, gauge pressure bar, bypass L/min at 20 degrees, fresh L/min, of the tank and fresh degC
CASES = (
    (300, 1000, 60, 0, 15, 15),
    (300, 1000, 60, 20, 15, 15),
    (1000, 1400, 50, 45, 20, 10),
    (200, 2500, 10, 12, 20, 20),
    (500, 700, 200, 60, 10, 10),
    (500, 2800, 15, 4, 25, 15),
)
MINUTES = (0, 1, 2, 5, 10, 15, 20, 30, 45, 60)


def heat(celsius, gauge):
    """What an ideal pump gives to a kilogram and the throttle leaves in it, J."""
    entropy = at("S", celsius, ATMOSPHERE)
    return isentropic("H", ATMOSPHERE + gauge, entropy) - at("H", celsius, ATMOSPHERE)


def degrees(enthalpy):
    return cp.PropsSI("T", "P", ATMOSPHERE, "H", enthalpy, "Water") - ZERO


def tank():
    dense = at("D", 20.0, ATMOSPHERE)
    end_of_run = at("H", 90.0, ATMOSPHERE)
    for mass, bar, bypass, fresh, start, inflow in CASES:
        back, new = (flow * LITRE_PER_MIN * dense for flow in (bypass, fresh))
        first, cold = at("H", start, ATMOSPHERE), at("H", inflow, ATMOSPHERE)

        def slope(_, y):
            # A trial step of the solver may go beyond the end of the run.
            work = heat(degrees(min(y[0], end_of_run)), bar * BAR)
            return [(new * (cold - y[0]) + back * work) / mass]

        hot = lambda _, y: y[0] - end_of_run
        hot.terminal = True
        run = solve_ivp(slope, (0.0, 3600.0), [first], events=hot, method="DOP853", rtol=1e-11,
                        atol=1e-3, dense_output=True)  # fmt: skip
        work = heat(start, bar * BAR)
        for minute in MINUTES:
            time = 60.0 * minute
            if time > run.t[-1]:
                break
            if new > 0.0:
                end = cold + back * work / new
                closed = end + (first - end) * exp(-new * time / mass)
            else:
                closed = first + back * work * time / mass
            exact = run.sol(time)[0]
            if closed > end_of_run:
                break
            yield (
                mass, bar, bypass, fresh, start, inflow, minute, degrees(closed), degrees(exact),
            )  # fmt: skip


TABLES = [
    Table(
        "heat_tank.csv",
        [
            "Stirred tank of constant mass at one atmosphere; an ideal pump takes water from it to gauge pressure P, the bypass flow is throttled back into the tank and keeps the pump's work, the rest is sprayed away and replaced by fresh water: M dh/dt = m_fresh (h_fresh - h) + m_bypass w, w = h(P,s(T)) - h(1 atm,T). closed: w held at the starting temperature, so that h goes exponentially (linearly without fresh water) to its end; ode: w of the temperature of the moment. No loss to the surroundings, no loss in the pump. L/min are of water at 20 degC; until 90 degC",
            "computed with: CoolProp 8.0.0 HEOS::Water (enthalpy/entropy), scipy 1.17.1 (DOP853)",
        ],
        "M_kg,P_bar,Q_bypass_L_min,Q_fresh_L_min,T_start_C,T_fresh_C,t_min,T_closed_C,T_ode_C",
        tank,
    ),
]
