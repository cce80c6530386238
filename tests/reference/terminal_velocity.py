#!/usr/bin/env python3
"""Terminal velocities of balls in water of 5 to 36 degrees, written to terminal_velocity.csv.

Brown & Lawler 2003 (J. Environ. Eng. 129:222-231), a drag curve fitted to measured balls, solved by scipy's brentq;
and Ferguson & Church 2004 (J. Sed. Res. 74:933-937), equation 4, with C1 = 18 and C2 = 1.0. Water: iapws. Standard
gravity 9.80665 m/s2. Beside them the speed of a ball as the fluids package finds it with its own choice of drag curve.
"""
import math

import fluids
import iapws
import scipy
from fluids.drag import v_terminal
from iapws import IAPWS95
from iapws._iapws import _Viscosity
from scipy.optimize import brentq

G = 9.80665
DIAMETERS_UM = (10, 15, 20, 25, 30, 40, 50, 63, 75, 80, 100, 125, 150, 200, 250, 300, 400, 500)
EXCESS_KG_M3 = (10, 20, 30, 33.5, 50, 53.5, 80, 83.5, 100, 150)


def water(t):
    state = IAPWS95(T=t + 273.15, P=0.101325)
    return state.rho, _Viscosity(state.rho, t + 273.15)


def brown_lawler(d, excess, rho, mu):
    def drag(re):
        return 24 / re * (1 + 0.150 * re**0.681) + 0.407 / (1 + 8710 / re)
    return brentq(lambda v: v * v - 4 * G * d * excess / (3 * rho * drag(rho * v * d / mu)),
                  1e-12, 1.0, xtol=1e-16, rtol=1e-14)


def ferguson_church(d, excess, rho, mu):
    r, nu = excess / rho, mu / rho
    return r * G * d * d / (18 * nu + math.sqrt(0.75 * r * G * d**3))


with open("terminal_velocity.csv", "w") as out:
    out.write(f"# Speeds in m/s; water by iapws {iapws.__version__}, roots by scipy {scipy.__version__}; "
              f"last column fluids {fluids.__version__} v_terminal; made by terminal_velocity.py\n")
    out.write("celsius,diameter_um,excess_kg_m3,water_kg_m3,viscosity_pa_s,brown_lawler_m_s,ferguson_church_m_s,fluids_m_s\n")
    for t in (5, 15, 26, 27, 28, 36):
        rho, mu = water(t)
        for um in DIAMETERS_UM:
            for excess in EXCESS_KG_M3:
                d, heavy = um * 1e-6, rho + excess
                excess_here = heavy - rho
                row = [t, um, excess, rho, mu, brown_lawler(d, excess_here, rho, mu),
                       ferguson_church(d, excess, rho, mu), v_terminal(D=d, rhop=heavy, rho=rho, mu=mu)]
                out.write(",".join(repr(float(value)) for value in row) + "\n")
