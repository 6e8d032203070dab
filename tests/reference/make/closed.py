"""Tables that closed forms give, in figures of the trade."""

from math import cos, exp, log, pi, radians, sin, sqrt

import numpy as np
from scipy.integrate import quad

from . import cases
from .table import Table

RHO = 998.2
BAR = 1e5
LITRE_PER_MIN = 1.0 / 60_000.0
INCH = 0.0254
GALLON_PER_MIN = 231.0 * INCH**3 / 60.0
POUND_FORCE = 0.45359237 * 9.80665
PSI = POUND_FORCE / INCH**2
HORSEPOWER = 550.0 * 12.0 * INCH * POUND_FORCE
GRAVITY = 9.80665


def bore(millimetres):
    return pi / 4.0 * (millimetres / 1000.0) ** 2


def nozzle_flow():
    for d, bar, cd in cases.numbers(cases.NOZZLES):
        speed = sqrt(2.0 * bar * BAR / RHO)
        flow = cd * bore(d) * speed
        yield d, bar, cd, flow / LITRE_PER_MIN, speed, RHO * flow * speed, bar * BAR * flow / 1000


def unit_constants():
    for rho in (998.2, 1000.0):
        bar_speed, psi_speed = sqrt(2.0 * BAR / rho), sqrt(2.0 * PSI / rho)
        yield (
            rho,
            bar_speed,
            rho * LITRE_PER_MIN * bar_speed,
            rho * GALLON_PER_MIN * psi_speed / POUND_FORCE,
            pi / 4.0 * INCH**2 * psi_speed / GALLON_PER_MIN,
            bore(1.0) * bar_speed / LITRE_PER_MIN,
            GALLON_PER_MIN * PSI / HORSEPOWER,
            2.0 * pi / 4.0 * INCH**2 * PSI / POUND_FORCE,
        )


def displacement():
    for n, plunger, stroke, rpm in (
        (3, 20, 100, 450),
        (3, 28, 100, 450),
        (5, 18, 70, 500),
        (3, 16, 80, 600),
        (3, 40, 125, 400),
        (5, 22, 100, 480),
    ):
        flow = n * bore(plunger) * stroke / 1000.0 * rpm / 60.0
        rod = 1000.0 * BAR * bore(plunger) / 1000.0
        yield n, plunger, stroke, rpm, flow / LITRE_PER_MIN, rod, 2.0 * stroke / 1000.0 * rpm / 60.0


def power():
    trade = ((72, 20000), (143, 10000), (36, 40000), (10, 10000), (25, 20000), (6, 36000))
    metric = ((34, 1000), (20, 2500), (260, 700), (42, 2800), (100, 1000), (600, 100))
    to_litre, to_bar = GALLON_PER_MIN / LITRE_PER_MIN, PSI / BAR
    both = [(gpm, psi, gpm * to_litre, psi * to_bar) for gpm, psi in trade]
    both += [(litre / to_litre, bar / to_bar, litre, bar) for litre, bar in metric]
    for gpm, psi, litre, bar in both:
        kilowatt = bar * litre / 600.0
        yield gpm, psi, litre, bar, kilowatt, gpm * psi / 1714.0, kilowatt / 0.95


def ripple():
    steps = 72_000
    turn = 2.0 * pi * np.arange(steps) / steps
    for n, crank in cases.numbers(cases.RIPPLE):
        flow = np.zeros(steps)
        for k in range(int(n)):
            t = turn + 2.0 * pi * k / n
            swing = crank * np.sin(t)
            speed = np.sin(t) + crank * np.sin(t) * np.cos(t) / np.sqrt(1.0 - swing**2)
            flow += np.maximum(speed, 0.0)
        share = 100.0 * (flow / flow.mean() - 1.0)
        yield n, crank, share.max() - share.min(), share.max(), share.min()


def decay():
    for name, core, exponent in (("core100_n1", 100, 1), ("core100_n2", 100, 2), ("core135_n1", 135, 1)):
        for x in (25, 50, 100, 150, 200, 300, 500, 1000, 2500):
            ratio = min(1.0, core / x) ** exponent
            yield name, x, ratio, sqrt(ratio)


def cubic(r):
    return 1.0 - 3.0 * r**2 + 2.0 * r**3


def impact_head():
    # 2 P0 pi d^2/4 = 2 pi R^2 P0 times the first moment of the profile.
    moment = quad(lambda r: r * cubic(r), 0.0, 1.0)[0]
    return (
        "Radial impact pressure profile p/p0=1-3(r/R)^2+2(r/R)^3 (Leach-Walker type) and a Gaussian "
        "with the same half radius; momentum balance 2*P0*pi*d^2/4 = integral gives "
        f"R/d={sqrt(0.25 / moment):.6g} (integral={2.0 * pi * moment:.6g} R^2 P0)"
    )


def impact():
    for r in (0, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1):
        yield r, cubic(r), exp(-log(2.0) * (r / 0.5) ** 2)


def balance():
    for mass, height, force, down, friction in cases.numbers(cases.BALANCE):
        weight = mass * GRAVITY
        across = force * cos(radians(down))
        normal = weight - force * sin(radians(down))
        needed = across / normal
        verdict = "hold" if needed <= friction else "slip"
        yield (
            mass, force, height, down, normal, across, needed, friction, verdict,
            needed * height, force / weight,
        )  # fmt: skip


def rohmert():
    for f in (0.15, 0.2, 0.25, 0.3, 0.6, 0.7, 0.9, 1):
        yield f, 60.0 * (-1.5 + 2.1 / f - 0.6 / f**2 + 0.1 / f**3)


def jolt():
    for mass, force, rise, delay in ((80, 250, 0.1, 0.25), (80, 250, 0.5, 0.25), (80, 250, 0.02, 0.25)):
        ramp = min(rise, delay)
        steady = delay - ramp
        reached = force / mass * ramp**2 / (2.0 * rise)
        moved = force / mass * ramp**3 / (6.0 * rise)
        full = force / mass
        yield (
            mass, force, rise, delay,
            reached + full * steady,
            1000.0 * (moved + reached * steady + full * steady**2 / 2.0),
        )  # fmt: skip


def several_tools():
    held = "no bypass (positive displacement, speed held)"
    ideal = "ideal pressure regulation"
    for before, after, controls in (
        (2, 1, (held, ideal)),
        (1, 2, (held,)),
        (3, 2, (held, ideal)),
        (2, 3, (held,)),
        (3, 1, (held, ideal)),
        (1, 3, (held,)),
    ):
        for control in controls:
            flow = before / after if control == held else 1.0
            yield before, after, control, flow**2, flow, flow**2


def noise():
    for level, near, distances in (
        (110, 1, (1, 2, 4, 16)),
        (115, 1, (1, 2, 4, 8, 16)),
        (105, 2, (1, 4, 8, 16, 32, 64)),
    ):
        for far in distances:
            there = level - 20.0 * np.log10(far / near)
            yield level, near, far, there, 8.0 * 3600.0 / 2.0 ** ((there - 85.0) / 3.0)


def whip():
    for bar, bore_mm, length, modulus in (
        (1000, 13, 20, 1.5),
        (1000, 13, 3, 1.5),
        (2500, 5, 20, 2),
        (700, 20, 40, 1.2),
        (100, 25, 60, 0.8),
    ):
        area, p, flow = bore(bore_mm), bar * BAR, 100.0 * LITRE_PER_MIN
        energy = p**2 * area * length / (2.0 * modulus * 1e9)
        load = p * area / 1000.0
        thrust = 1000.0 * flow**2 / area
        yield (
            bar, bore_mm, length, modulus, 1000.0 * area * length, energy / 1000.0,
            load, 2.0 * load, 100, thrust,
        )  # fmt: skip


def rupture():
    for bar, rho, speed in (
        (1000, 1040, 1200),
        (1000, 1000, 1400),
        (2500, 1090, 1300),
        (500, 1020, 1000),
        (100, 1005, 900),
    ):
        for bore_mm in (8, 13, 20):
            area, out = bore(bore_mm), bar * BAR / (rho * speed)
            yield (
                bar, rho, speed, bore_mm, out, area * out / LITRE_PER_MIN,
                rho * area * out**2, bar * BAR * area,
            )  # fmt: skip


def eddy_brake():
    vacuum = 4e-7 * pi
    disc, pole, field, radius, outer, gap = 0.008, 0.025, 0.5, 0.060, 0.080, 0.006
    # Share of the eddies' way that lies under the pole: of the disc's radius and the pole's place.
    share = 0.5 * (1.0 - 0.25 / ((1.0 + radius / outer) ** 2 * ((outer - radius) / pole) ** 2))
    for name, resistivity, speeds in (
        ("copper disc", 1.72e-8, (10, 60, 1000, 3000)),
        ("aluminium disc", 2.82e-8, (300, 1000, 3000)),
        ("copper disc at 120 degC", 1.72e-8 * 1.39, (60, 300, 1000, 3000)),
    ):
        critical = 2.0 / vacuum * sqrt(1.0 / share) * resistivity / disc * sqrt(gap / pole)
        slope = pi / 4.0 / resistivity * pole**2 * disc * field**2 * share
        most = slope * critical / 2.0
        for rpm in speeds:
            v = 2.0 * pi * rpm / 60.0 * radius
            force = 2.0 * most / (v / critical + critical / v)
            yield (
                name, resistivity, 1000 * disc, 1000 * pole, field, 1000 * radius, 1000 * outer,
                1000 * gap, share, critical, most, rpm, v, force, force * radius, slope * v,
                force / (slope * v),
            )  # fmt: skip


CLOSED = "computed with: closed form"

TABLES = [
    Table(
        "nozzle_flow_thrust.csv",
        [
            "Incompressible nozzle law, rho=998.2: Q=Cd*A*sqrt(2P/rho), v=ideal velocity, F=rho*Q*v (momentum thrust with velocity coefficient 1), W=P*Q",
            "computed with: closed form, numpy 2.4.6",
        ],
        "d_mm,P_bar,Cd,Q_L_min,v_ideal_m_s,F_N,power_kW",
        nozzle_flow,
    ),
    Table(
        "unit_constants.csv",
        [
            "Practical-unit constants derived from SI: v=k1*sqrt(bar); F[N]=k2*Q[L/min]*sqrt(bar); F[lbf]=k3*Q[gpm]*sqrt(psi); Q[gpm]=k4*Cd*d[in]^2*sqrt(psi); Q[L/min]=k5*Cd*d[mm]^2*sqrt(bar); hp=k6*gpm*psi (1/k6=1714); F[lbf]=k7*d[in]^2*psi",
            "computed with: closed form, numpy 2.4.6",
        ],
        "rho,k1_m_s,k2_N,k3_lbf,k4_gpm,k5_Lmin,k6_hp,k7_lbf",
        unit_constants,
    ),
    Table(
        "pump_displacement.csv",
        [
            "Geometric flow n*A*stroke*rpm; rod load at 1000 bar; mean plunger speed",
            CLOSED,
        ],
        "n,plunger_mm,stroke_mm,rpm,Q_disp_L_min,rod_load_kN_at_1000bar,mean_plunger_speed_m_s",
        displacement,
    ),
    Table(
        "pump_power.csv",
        [
            "Hydraulic power P*Q/600 (bar, L/min, kW) and gpm*psi/1714 (hp); shaft power at 95 % mechanical efficiency",
            CLOSED,
        ],
        "Q_gpm,P_psi,Q_L_min,P_bar,hyd_kW,hyd_hp,shaft_kW_at_0.95",
        power,
    ),
    Table(
        "pump_ripple.csv",
        [
            "Kinematic discharge-flow ripple of n equally phased single-acting plungers, slider crank with lambda=r/l, incompressible, ideal valves; percent of mean flow",
            "computed with: numpy 2.4.6 (72000 crank steps)",
        ],
        "n_plungers,lambda_r_over_l,peak_to_peak_pct,max_minus_mean_pct,min_minus_mean_pct",
        ripple,
    ),
    Table(
        "jet_decay_model.csv",
        [
            "MODEL ONLY (not measurement): centreline stagnation pressure ratio 1 for x<=xc, (xc/x)^n beyond; second column velocity ratio.",
            CLOSED,
        ],
        "model,x_over_d,p_ratio,u_ratio",
        decay,
    ),
    Table(
        "jet_impact_profile.csv",
        [
            impact_head(),
            "computed with: scipy 1.17.1",
        ],
        "r_over_R,p_cubic,p_gauss",
        impact,
    ),
    Table(
        "operator_balance.csv",
        [
            "Static balance of a standing operator: reaction F at height h, jet directed th deg BELOW horizontal (reaction then has an upward part). mu_required=F cos/(W-F sin); support point must lie b behind the CoM line: b=F cos*h/(W-F sin)",
            CLOSED,
        ],
        "mass_kg,F_N,h_m,jet_below_horiz_deg,normal_N,horiz_N,mu_required,mu_ground,verdict,b_required_m,F_over_bodyweight",
        balance,
    ),
    Table(
        "rohmert.csv",
        [
            "Static endurance time (s) vs fraction of maximum force, Rohmert 1960 polynomial T[min]=-1.5+2.1/f-0.6/f^2+0.1/f^3 (f>0.15)",
            CLOSED,
        ],
        "f,T_rohmert_s",
        rohmert,
    ),
    Table(
        "startup_jolt.csv",
        [
            "Start-up jolt: thrust ramps linearly to F in t_rise; operator (point mass) does not respond for reaction delay tau; speed and backward displacement at tau",
            CLOSED,
        ],
        "mass_kg,F_N,t_rise_s,tau_s,v_m_s,x_mm",
        jolt,
    ),
    Table(
        "multi_tool.csv",
        [
            "n equal nozzles on one constant-flow pump; tools in use change from n_before to n_after. Ratios at each remaining tool: pressure, flow, thrust",
            CLOSED,
        ],
        "n_before,n_after,control,P_ratio,Q_ratio_per_tool,F_ratio_per_tool",
        several_tools,
    ),
    Table(
        "noise.csv",
        [
            "Point-source spreading L=L1-20log10(r/r1) and permitted daily exposure at 85 dB(A) criterion, 3 dB exchange (seconds)",
            CLOSED,
        ],
        "L1_dBA,r1_m,r_m,L_dBA,permitted_s_85_3dB",
        noise,
    ),
    Table(
        "hose_whip.csv",
        [
            "Pressurised hose: volume, stored energy P^2V/(2Ke), end-cap force P*A, suddenly applied restraint load 2*P*A, and steady pump-fed open-bore thrust rho*Q^2/A at 100 L/min",
            CLOSED,
        ],
        "P_bar,ID_mm,L_m,Ke_GPa,V_L,E_kJ,PA_kN,2PA_kN,Q_L_min,steady_open_bore_thrust_N",
        whip,
    ),
    Table(
        "rupture_full_bore.csv",
        [
            "Sudden full-bore opening of a pressurised line: initial outflow velocity is limited by wave impedance V=P/(rho*a) until the reflection returns; flow, jet thrust rho*A*V^2, and released end-cap force P*A",
            CLOSED,
        ],
        "P_bar,rho,a_m_s,ID_mm,V_initial_m_s,Q_initial_L_min,jet_thrust_N,endcap_P_times_A_N",
        rupture,
    ),
    Table(
        "eddy_brake.csv",
        [
            "Eddy-current disc brake, one round pole (Wouterse 1991 form): low speed F=(pi/4)(1/rho)D^2 d B^2 c v; general F=Fmax*2/(v/vk+vk/v); vk=(2/mu0)sqrt(1/(c xi))(rho/d)sqrt(x/D); x = air gap incl. disc, xi=1",
            CLOSED,
        ],
        "case,resistivity_ohm_m,disc_mm,pole_mm,B_T,R_mm,A_mm,gap_mm,c,v_crit_m_s,F_max_N,rpm,v_m_s,F_N,torque_Nm_one_pole,F_linear_N,F_over_linear",
        eddy_brake,
    ),
]
