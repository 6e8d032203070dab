"""Steady points of a pump of constant flow with two tools, each behind a hose of its own."""

from scipy.optimize import brentq

from .closed import BAR, LITRE_PER_MIN, bore
from .hose import along, exact_jet, exact_water, hose_list
from .table import Table
from .water import ATMOSPHERE, at

# pump L/min; supply hose; hose, nozzle mm and Cd of tool A; of tool B
NETWORKS = (
    (34, "13mm x 40m", ("8mm x 20m", 1.2, 0.95), ("8mm x 20m", 1.1, 0.95)),
    (18, "8mm x 60m", ("5mm x 5m", 0.9, 0.9), ("5mm x 10m", 0.8, 0.95)),
    (90, "20mm x 60m", ("13mm x 20m", 2.0, 0.95), ("10mm x 30m", 1.8, 0.9)),
    (50, "12.7mm x 40m", ("8mm x 10m", 1.5, 0.95), ("8mm x 40m", 1.3, 0.98)),
    (20, "10mm x 30m", ("6mm x 20m", 1.0, 0.95), ("8mm x 3m", 1.0, 0.62)),
)
MOST = 3000.0 * BAR


def branch(tee, hoses, area):
    """Pressure at the nozzle and mass flow of a tool with a pressure at the tee."""

    def miss(mass):
        behind = along(hoses, tee, mass, exact_water)
        return -1.0 if behind <= 0.0 else area * exact_jet(behind)[0] - mass

    mass = brentq(miss, 1e-6, area * exact_jet(tee)[0], xtol=1e-14, rtol=1e-12)
    return along(hoses, tee, mass, exact_water), mass


def points():
    suction = at("D", 20.0, ATMOSPHERE)
    for litre, supply, *tools in NETWORKS:
        mass = litre * LITRE_PER_MIN * suction
        areas = [cd * bore(d) for _, d, cd in tools]
        for open_tools in ((0, 1), (0,), (1,)):

            def left(tee):
                flows = (branch(tee, hose_list(tools[i][0]), areas[i])[1] for i in open_tools)
                return sum(flows) - mass

            tee = brentq(left, 20.0 * BAR, MOST, xtol=0.01, rtol=1e-12)
            line = hose_list(supply)
            entry = brentq(lambda p: along(line, p, mass, exact_water) - tee, tee, tee + 500 * BAR,
                           xtol=0.01, rtol=1e-12)  # fmt: skip
            cells = []
            for i, (hoses, _, _) in enumerate(tools):
                if i not in open_tools:
                    # A hose with no flow stands at the pressure of the tee.
                    cells += [tee / BAR, 0, 0]
                    continue
                behind, flow = branch(tee, hose_list(hoses), areas[i])
                thrust = flow * exact_jet(behind)[1]
                cells += [behind / BAR, flow / suction / LITRE_PER_MIN, thrust]
            names = "".join("AB"[i] for i in open_tools)
            flat = [value for tool in tools for value in tool]
            yield (litre, supply, *flat, names, entry / BAR, tee / BAR, *cells)


TABLES = [
    Table(
        "nozzle_network.csv",
        [
            "Steady points of a pump of constant flow (Q at suction density, no bypass) -> supply hose -> tee (without loss) -> tool A and tool B, each behind hose of its own; open tells which tools are open. IAPWS-95 density and viscosity along isothermal 20 degC hoses (60 steps per hose, Churchill friction, eps 0.0015 mm), isentropic nozzles, thrust with velocity coefficient 1, no other losses. Gauge pressure; before a shut tool it is the tee's",
            "computed with: CoolProp 8.0.0, fluids 1.3.1, scipy 1.17.1 (brentq)",
        ],
        "Q_pump_L_min,supply,hose_A,d_A_mm,Cd_A,hose_B,d_B_mm,Cd_B,open,P_pump_bar,P_tee_bar,P_A_bar,Q_A_L_min,F_A_N,P_B_bar,Q_B_L_min,F_B_N",
        points,
    ),
]
