"""Tables of flow and filling in hose: friction, lumped volumes, steady points."""

from math import inf, log, sqrt

import numpy as np
from fluids.friction import Churchill_1977, Haaland, friction_factor
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from . import cases
from .closed import BAR, LITRE_PER_MIN, RHO, bore
from .table import Table
from .water import ATMOSPHERE, at, isentropic


def friction():
    for bore_mm, litre, celsius, bar, rough_mm in cases.numbers(cases.FRICTION):
        speed = litre * LITRE_PER_MIN / bore(bore_mm)
        density, viscosity = (at(what, celsius, bar * BAR) for what in "DV")
        reynolds = density * speed * bore_mm / 1000.0 / viscosity
        rough = rough_mm / bore_mm
        colebrook = friction_factor(Re=reynolds, eD=rough)
        churchill = Churchill_1977(reynolds, rough)
        # bar per metre and friction factor
        gradient = density * speed**2 / 2.0 / (bore_mm / 1000.0) / BAR
        yield (
            bore_mm, litre, celsius, bar, rough_mm, speed, reynolds, colebrook,
            Haaland(reynolds, rough), churchill, colebrook * gradient, churchill * gradient,
        )  # fmt: skip


def dump_time(tau, area, target):
    """Time to a share of the pressure at rest, after a dump of `area` times the nozzle opens
    beside it and the pump goes on; `tau` is V P0/(Ke Q0)."""
    from_rest = lambda _, y: (1.0 - (1.0 + area) * np.sqrt(np.maximum(y, 0.0))) / tau
    reached = lambda _, y: y[0] - target
    reached.terminal = True
    out = solve_ivp(from_rest, (0.0, tau), [1.0], events=reached, rtol=1e-10, atol=1e-13)
    return out.t_events[0][0]


def lumped():
    for (litre, modulus, bar, flow), word in cases.read(cases.LUMPED):
        kind, share = word.split("/")
        tau = litre / 1000.0 * bar * BAR / (modulus * 1e9 * flow * LITRE_PER_MIN)
        number = float(share)
        if kind == "down":
            case, target = "blowdown_through_working_nozzle", f"P/P0={share}"
            value = 2.0 * tau * (1.0 - sqrt(number))
        elif kind == "up":
            case, target = "pressurise_from_zero_pump_const_flow", f"P/P0={share}"
            value = 2.0 * tau * (-log(1.0 - sqrt(number)) - sqrt(number))
        elif kind == "dump":
            case, target = f"dump_opens_area_ratio_{share}_pump_on", "P/P0=0.10"
            value = dump_time(tau, number, 0.10)
        else:
            case, target = f"dump_residual_pressure_ratio_area_{share}", "P_res/P0"
            value = 1.0 / (1.0 + number) ** 2
        yield case, litre, modulus, bar, flow, target, value


def rigid_blowdown():
    """Water leaves a rigid volume; what stays expands along one entropy. The 100 L/min are counted
    at the density with which the jet leaves, 18 degrees at one atmosphere."""
    volume, start, litre = 0.005, 1000.0 * BAR, 100.0
    entropy = at("S", 20.0, start + ATMOSPHERE)
    left = isentropic("H", ATMOSPHERE, entropy)
    outside = isentropic("D", ATMOSPHERE, entropy)

    def speed(gauge):
        return np.sqrt(2.0 * (isentropic("H", gauge + ATMOSPHERE, entropy) - left))

    area = litre * LITRE_PER_MIN / speed(start)

    def seconds(root):
        """Time for a step of the root of the pressure."""
        gauge = root**2
        sound = isentropic("A", gauge + ATMOSPHERE, entropy)
        return volume * 2.0 * root / (sound**2 * area * outside * speed(gauge))

    for share in (0.5, 0.25, 0.1, 0.01):
        ends = (sqrt(share * start), sqrt(start))
        yield 5, 1000, 100, share, quad(seconds, *ends, epsrel=1e-10)[0]


ROUGH = 1.5e-6
STEPS = 60


def exact_water(gauge):
    return at("D", 20.0, gauge + ATMOSPHERE), at("V", 20.0, gauge + ATMOSPHERE)


def simple_water(_):
    return RHO, 1.0016e-3


def along(hoses, entry, mass, water):
    """Gauge pressure behind hoses in series, marched in equal steps from the entry."""
    p = entry
    for bore_mm, length in hoses:
        area, d, step = bore(bore_mm), bore_mm / 1000.0, length / STEPS
        for _ in range(STEPS):
            density, viscosity = water(p)
            speed = mass / (density * area)
            f = Churchill_1977(density * speed * d / viscosity, ROUGH / d)
            p -= f * step / d * density * speed**2 / 2.0
            if p < -0.5 * ATMOSPHERE:
                return -inf
    return p


def exact_jet(gauge):
    """Mass flow per jet area and speed of a jet from 20 degrees."""
    entropy = at("S", 20.0, gauge + ATMOSPHERE)
    left = isentropic("H", ATMOSPHERE, entropy)
    speed = sqrt(2.0 * (at("H", 20.0, gauge + ATMOSPHERE) - left))
    return isentropic("D", ATMOSPHERE, entropy) * speed, speed


def simple_jet(gauge):
    speed = sqrt(2.0 * gauge / RHO)
    return RHO * speed, speed


def steady_point(limit, mass, hoses, area, water, jet, density):
    """Pressures at pump and nozzle, flow and bypass in m3/s of suction, thrust."""

    def nozzle(entry):
        """Pressure at the nozzle and mass flow with a pressure at the pump."""

        def miss(flow):
            behind = along(hoses, entry, flow, water)
            return -1.0 if behind <= 0.0 else area * jet(behind)[0] - flow

        flow = brentq(miss, 1e-6, area * jet(entry)[0], xtol=1e-15, rtol=1e-13)
        return along(hoses, entry, flow, water), flow

    entry = limit
    if nozzle(limit)[1] > mass:
        entry = brentq(lambda p: nozzle(p)[1] - mass, 0.05 * limit, limit, xtol=1e-3, rtol=1e-13)
    behind, flow = nozzle(entry)
    thrust = flow * jet(behind)[1]
    return entry / BAR, behind / BAR, flow / density, max(mass - flow, 0.0) / density, thrust


def hose_list(text):
    """Bore in mm and length in m of hoses such as `8mm x 60m+5mm x 3m`."""
    pairs = (part.replace("m", " ").replace("x", " ").split() for part in text.split("+"))
    return [(float(a), float(b)) for a, b in pairs]


def operating_points():
    suction = at("D", 20.0, ATMOSPHERE)
    for limit, litre, hoses, d, count, cd in (
        (2500, 22, "8mm x 60m+5mm x 3m", 0.9, 1, 0.95),
        (1400, 100, "13mm x 30m", 0.8, 3, 0.95),
        (1000, 60, "8mm x 60m", 1.2, 1, 0.95),
        (2800, 15, "5mm x 40m", 0.6, 1, 0.9),
    ):
        area, line = count * cd * bore(d), hose_list(hoses)
        cells = []
        for water, jet, density in (
            (exact_water, exact_jet, suction),
            (simple_water, simple_jet, RHO),
        ):
            mass = litre * LITRE_PER_MIN * density
            point = steady_point(limit * BAR, mass, line, area, water, jet, density)
            entry, behind, flow, bypass, thrust = point
            bypass = bypass if bypass > 1e-9 * LITRE_PER_MIN else 0.0
            cells += [entry, behind, flow / LITRE_PER_MIN, bypass / LITRE_PER_MIN, thrust]
        yield (limit, litre, hoses, d, count, cd, *cells)

TABLES = [
    Table(
        "hose_friction.csv",
        [
            "Darcy friction factor and pressure gradient in smooth-bore hose; Q is the local volume flow at the stated P,T; f_colebrook is the exact Colebrook solution (Clamond; laminar 64/Re below Re=2040), Churchill 1977 covers all regimes",
            "computed with: fluids 1.3.1 (friction_factor), CoolProp 8.0.0",
        ],
        "ID_mm,Q_L_min,T_C,P_bar,eps_mm,V_m_s,Re,f_colebrook,f_haaland,f_churchill,dP_bar_per_m_colebrook,dP_bar_per_m_churchill",
        friction,
    ),
    Table(
        "hose_transients_lumped.csv",
        [
            "Lumped hose volume V with constant effective bulk modulus Ke, nozzle Q=Cq*sqrt(P) that passes Q0 at P0. Closed forms: blow-down t=(2 V P0/(Ke Q0))(1-sqrt(P/P0)); pressurising t=(2 V P0/(Ke Q0))(-ln(1-s)-s), s=sqrt(P/P0); dump case by ODE",
            "computed with: scipy 1.17.1",
        ],
        "case,V_L,Ke_GPa,P0_bar,Q0_L_min,target,t_s_or_ratio",
        lumped,
    ),
    Table(
        "blowdown_exact_rigid.csv",
        [
            "Blow-down of a RIGID 5 L volume from 1000 bar gauge, 20 degC, isentropic IAPWS-95, through a nozzle area passing 100 L/min (at 1 atm density) at 1000 bar; pump off",
            "computed with: CoolProp 8.0.0, scipy 1.17.1",
        ],
        "V_L,P0_bar,Q0_L_min,P_over_P0,t_s",
        rigid_blowdown,
    ),
    Table(
        "operating_point.csv",
        [
            "Steady point: pump (Q at suction density) with bypass regulator at P_reg -> hose(s) in series -> nn equal nozzles (d, Cd). full = IAPWS-95 density/viscosity along an isothermal 20 degC hose (60 steps per hose, Churchill friction, eps 0.0015 mm) and isentropic nozzle; simple = rho 998.2, mu 1.0016e-3, incompressible. Gauge pressure. If the nozzle can take more than the pump gives, bypass is 0 and pump pressure drops. Thrust with velocity coefficient 1",
            "computed with: CoolProp 8.0.0, fluids 1.3.1, scipy 1.17.1",
        ],
        "P_reg_bar,Q_pump_L_min,hoses,d_mm,n_nozzles,Cd,P_pump_full,P_nozzle_full,Q_nozzle_full_L_min,Q_bypass_full,F_full_N,P_pump_simple,P_nozzle_simple,Q_nozzle_simple_L_min,Q_bypass_simple,F_simple_N",
        operating_points,
    ),
]
