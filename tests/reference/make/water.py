"""Tables of water: IAPWS-95 (IAPWS R6-95) and the viscosity of IAPWS R12-08, by CoolProp."""

from functools import cache

import CoolProp.CoolProp as cp
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq, least_squares

from . import cases
from .table import Table

ATMOSPHERE = 101_325.0
ZERO = 273.15
BAR = 1e5


def at(what, celsius, pascal):
    """A property at a temperature and an absolute pressure."""
    return cp.PropsSI(what, "T", celsius + ZERO, "P", pascal, "Water")


def isentropic(what, pascal, entropy):
    """A property at a pressure and an entropy. The library's own solver leaves some 1e-9, which a
    step of Newton's takes away; it ends at 0.01 degrees, where the equation of state goes on for
    supercooled water."""
    try:
        kelvin = cp.PropsSI("T", "P", pascal, "S", entropy, "Water")
    except ValueError:
        return supercooled(what, pascal, entropy)
    for _ in range(2):
        miss = cp.PropsSI("S", "T", kelvin, "P", pascal, "Water") - entropy
        kelvin -= miss * kelvin / cp.PropsSI("C", "T", kelvin, "P", pascal, "Water")
    return kelvin if what == "T" else cp.PropsSI(what, "T", kelvin, "P", pascal, "Water")


def supercooled(what, pascal, entropy):
    """The same between -5 and +1 degrees, by searching temperature and density."""

    def density(kelvin):
        miss = lambda d: cp.PropsSI("P", "T", kelvin, "D", d, "Water") - pascal
        return brentq(miss, 995.0, 1005.0, xtol=1e-11)

    def other(kelvin):
        return cp.PropsSI("S", "T", kelvin, "D", density(kelvin), "Water") - entropy

    kelvin = brentq(other, ZERO - 5.0, ZERO + 1.0, xtol=1e-11)
    if what == "T":
        return kelvin
    return cp.PropsSI(what, "T", kelvin, "D", density(kelvin), "Water")


def properties():
    for celsius, bar in cases.numbers(cases.WATER):
        p = bar * BAR
        density, sound, viscosity = (at(what, celsius, p) for what in "DAV")
        yield (
            celsius,
            bar,
            density,
            viscosity,
            viscosity / density,
            1e-9 / at("ISOTHERMAL_COMPRESSIBILITY", celsius, p),
            1e-9 * density * sound**2,
            sound,
            at("C", celsius, p),
            at("ISOBARIC_EXPANSION_COEFFICIENT", celsius, p),
        )


def stored_energy():
    for celsius, bar in cases.numbers(cases.ENERGY):
        p = bar * BAR + ATMOSPHERE
        density, entropy, inside = (at(what, celsius, p) for what in "DSU")
        after, left = (isentropic(what, ATMOSPHERE, entropy) for what in "DU")
        # Work on the atmosphere while it expands is not to be had.
        energy = inside - left - ATMOSPHERE * (1.0 / after - 1.0 / density)
        simple = (bar * BAR) ** 2 / (2.0 * 2.15e9) / 1000.0
        yield celsius, bar, energy, energy * density / 1000.0, simple, 100.0 * (density / after - 1)


@cache
def tait():
    """Tait's equation, rho = rho0(T)/(1 - C ln((B+P)/(B+P0))), fitted to IAPWS-95 by least squares
    of the relative error over 5 to 45 degrees and 1 to 3000 bar: C, and B in MPa as a polynomial
    of the temperature. Rounded they are 0.132822 and 260.4168, 1.56474, -0.0166217."""
    t, p = (x.ravel() for x in np.meshgrid(np.arange(5.0, 46.0, 5.0), np.linspace(1e5, 3e8, 61)))
    exact = np.array([at("D", *pair) for pair in zip(t, p)])
    at_rest = np.array([at("D", celsius, ATMOSPHERE) for celsius in t])

    def miss(x):
        b = 1e6 * np.polynomial.polynomial.polyval(t, x[1:])
        return at_rest / (1.0 - x[0] * np.log((b + p) / (b + ATMOSPHERE))) / exact - 1.0

    start = [0.13, 260.0, 1.5, -0.016]
    exactly = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}
    return least_squares(miss, start, x_scale=[0.1, 100.0, 1.0, 0.01], **exactly).x


def tait_density(celsius, pascal):
    """Density by the fitted equation; the pressure is absolute."""
    c, *rest = tait()
    b = 1e6 * np.polynomial.polynomial.polyval(celsius, rest)
    return at("D", celsius, ATMOSPHERE) / (1.0 - c * np.log((b + pascal) / (b + ATMOSPHERE)))


def expansion():
    for celsius, bar in cases.numbers(cases.EXPANSION):
        gauge = bar * BAR
        p = gauge + ATMOSPHERE
        upstream, entropy, enthalpy = (at(what, celsius, p) for what in "DSH")
        at_rest = at("D", celsius, ATMOSPHERE)
        exact = np.sqrt(2.0 * (enthalpy - isentropic("H", ATMOSPHERE, entropy)))
        simple = np.sqrt(2.0 * gauge / at_rest)
        work = quad(lambda x: 1.0 / tait_density(celsius, x), ATMOSPHERE, p, epsrel=1e-12)[0]
        by_tait = np.sqrt(2.0 * work)
        ratio, n = gauge / 3e8, 0.1368
        hashish = np.sqrt(((1.0 + ratio) ** (1.0 - n) - 1.0) / (ratio * (1.0 - n)))
        # The density with which the jet leaves, colder than the water that is at rest.
        flux = isentropic("D", ATMOSPHERE, entropy) * exact
        boiling = cp.PropsSI("H", "P", ATMOSPHERE, "Q", 0, "Water")
        hot = cp.PropsSI("T", "P", ATMOSPHERE, "H", min(enthalpy, boiling), "Water") - ZERO
        yield (
            celsius,
            bar,
            exact,
            simple,
            simple / exact - 1.0,
            np.sqrt(2.0 * gauge / upstream) / exact - 1.0,
            by_tait,
            by_tait / exact - 1.0,
            hashish,
            exact / simple,
            flux,
            flux * exact,
            flux * exact / gauge,
            isentropic("T", ATMOSPHERE, entropy) - ZERO,
            hot - celsius,
        )


def clearance():
    for celsius, bar, ratio in cases.numbers(cases.CLEARANCE):
        suction, entropy = (at(what, celsius, 3.0 * BAR) for what in "DS")
        p = bar * BAR + ATMOSPHERE
        denser = isentropic("D", p, entropy) / suction
        efficiency = 1.0 - ratio * (denser - 1.0)
        warm = isentropic("T", p, entropy) - ZERO
        yield celsius, bar, ratio, denser, warm, efficiency, efficiency / denser


def steel_tube():
    """Modulus of a thick tube, V dP/dV of its wall, Pa (Lame)."""
    square = (14.3 / 9.5) ** 2
    return 207e9 / (2.0 * ((square + 1.0) / (square - 1.0) + 0.3))


def wave_speed():
    for (bar,), wall in cases.read(cases.WALLS):
        density, sound = (at(what, 20.0, bar * BAR) for what in "DA")
        water = density * sound**2
        if wall == "rigid":
            line, modulus, both = "rigid", np.inf, water
        elif wall == "steel":
            line = "steel tube ID9.5 OD14.3 (thick wall, E 207 GPa, nu 0.3)"
            modulus = steel_tube()
        else:
            line, modulus = f"hose Kh={wall} GPa", float(wall) * 1e9
        both = 1.0 / (1.0 / water + 1.0 / modulus)
        speed = np.sqrt(both / density)
        yield bar, line, water / 1e9, modulus / 1e9, both / 1e9, speed, density * speed / BAR


TABLES = [
    Table(
        "water_properties.csv",
        [
            "Liquid water vs absolute pressure and temperature (IAPWS-95 EOS, IAPWS-2008 viscosity); KT isothermal, KS isentropic bulk modulus (tangent); relative difference to iapws 1.5.5 at most 1e-12 of rho and mu, 2e-10 of a",
            "computed with: CoolProp 8.0.0 HEOS::Water, cross-checked with iapws 1.5.5",
        ],
        "T_C,P_bar_abs,rho_kg_m3,mu_Pa_s,nu_m2_s,KT_GPa,KS_GPa,sound_m_s,cp_J_kgK,alpha_1_K",
        properties,
    ),
    Table(
        "stored_energy.csv",
        [
            "Recoverable (isentropic) elastic energy of compressed water per kg and per litre of pressurised volume; simple estimate P^2/(2K), K=2.15 GPa; expansion percent of density",
            "computed with: CoolProp 8.0.0",
        ],
        "T_C,P_bar_gauge,e_J_per_kg,E_J_per_L,E_simple_J_per_L,compression_pct",
        stored_energy,
    ),
    Table(
        "nozzle_compressible.csv",
        [
            "Ideal (Cd=Cv=1) expansion of water from gauge P and T to 1 atm. v_isen exact from enthalpy drop at constant entropy; v_inc=sqrt(2P/rho_atm); err columns are fractional; psi_hashish = compressibility factor with L=300 MPa, n=0.1368; G=mass flux; F/A=ideal thrust per jet area; dT_throttle=temperature rise when all pressure energy is dissipated (bypass/dump/jet after impact), capped at saturation 100 degC where part would flash; T_exit below 0 is supercooled (metastable)",
            "computed with: CoolProp 8.0.0 HEOS::Water (enthalpy/entropy), scipy 1.17.1",
        ],
        "T_C,P_bar_gauge,v_isen_m_s,v_inc_m_s,err_inc_rho_atm,err_inc_rho_upstream,v_tait_m_s,err_tait,psi_hashish,psi_exact,G_kg_m2s,F_per_A_Pa,F_over_PA,T_exit_isentropic_C,dT_throttle_K",
        expansion,
        # Small differences of large numbers.
        {"err_tait": 1000, "err_inc_rho_atm": 10, "err_inc_rho_upstream": 10},
    ),
    Table(
        "pump_clearance_efficiency.csv",
        [
            "Volumetric efficiency from compressibility of the clearance volume alone. c=clearance volume / stroke volume. eta_suction=1-c*(rho_d/rho_s-1) (flow measured at suction density = mass-based); eta_discharge = same flow counted at discharge density. Isentropic compression from 3 bar abs",
            "computed with: CoolProp 8.0.0",
        ],
        "T_C,P_bar_gauge,c_clearance,rho_d_over_rho_s,T_discharge_C,eta_v_suction,eta_v_discharge",
        clearance,
    ),
    Table(
        "wavespeed.csv",
        [
            "Effective bulk modulus 1/Ke=1/KS+1/Kh (Kh = V dP/dV of the hose wall alone) and wave speed sqrt(Ke/rho) at 20 degC; last column = Joukowsky pressure for 1 m/s (bar). Kh values for hoses are illustrative, only water and steel tube are exact",
            "computed with: CoolProp 8.0.0",
        ],
        "P_bar,line,KS_water_GPa,Kh_GPa,Ke_GPa,a_m_s,joukowsky_bar_per_m_s",
        wave_speed,
    ),
]
