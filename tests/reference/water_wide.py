"""Makes tests/reference/water_wide.csv: water at the ends of the range and between the rows of
water_properties.csv.

    venv/bin/python tests/reference/water_wide.py > tests/reference/water_wide.csv

The environment is that of water_table.py.
"""

import CoolProp.CoolProp as cp

print("# Liquid water at the ends of the range and at odd values (IAPWS-95, IAPWS-2008 viscosity;")
print("# saturation pressure of IAPWS-95), made by water_wide.py")
print("# computed with: CoolProp 8.0.0 HEOS::Water")
print("T_C,P_bar_abs,rho_kg_m3,sound_m_s,cp_J_kgK,mu_Pa_s,alpha_1_K,saturation_Pa")
for celsius in (0.5, 2.3, 13.7, 33.3, 47.9, 55.5, 60.0):
    kelvin = celsius + 273.15
    for bar in (1.013_25, 77.7, 444.0, 1234.5, 2222.0, 3000.0, 3190.0):
        at = ("T", kelvin, "P", bar * 1e5, "Water")
        values = [cp.PropsSI(what, *at) for what in ("D", "A", "C", "V", "ISOBARIC_EXPANSION_COEFFICIENT")]
        values.append(cp.PropsSI("P", "T", kelvin, "Q", 0, "Water"))
        print(f"{celsius},{bar}," + ",".join(f"{value:.7g}" for value in values))
