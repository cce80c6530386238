#!/usr/bin/env python3
"""Water in small tubes at 27 degrees, written to tube_holdup_laminar.csv, siphon_flow.csv,
tube_transport_min_flow.csv and tube_bond_number.csv.

Hold-up and laminar loss (Hagen-Poiseuille; the friction factor of the fluids package beside it); an open siphon with
the friction factor of Churchill 1977 as the fluids package has it, solved by scipy's brentq; the flow at which the wall
stress of laminar flow reaches 0.018 Pa (fresh fish-farm waste: Cromey et al. 2002, Estuaries 25:916-929) and 0.06 Pa
(salmon faeces: Carvajalino-Fernandez et al. 2020, Aquacult. Environ. Interact. 12:117-129); and whether a tube holds
its water with the end hanging in air (Bretherton 1961, J. Fluid Mech. 10:166-188). Water and surface tension: iapws.
Standard gravity 9.80665 m/s2.
"""
import math

import fluids
import iapws
import scipy
from fluids.friction import Churchill_1977, friction_factor
from iapws import IAPWS95
from iapws._iapws import _Tension, _Viscosity
from scipy.optimize import brentq

G = 9.80665
KELVIN = 27 + 273.15
RHO = IAPWS95(T=KELVIN, P=0.101325).rho
MU = _Viscosity(RHO, KELVIN)
SIGMA = _Tension(KELVIN)
LENGTHS_M = (1.0, 1.5, 2.0)


def table(name, about, columns, rows):
    with open(name, "w") as out:
        out.write(f"# {about}; made by tubes.py\n{columns}\n")
        for row in rows:
            out.write(",".join(repr(float(value)) for value in row) + "\n")


def laminar():
    for d in (2e-3, 3e-3, 4e-3, 6e-3):
        for length in LENGTHS_M:
            for ml_min in (1, 5, 10, 20, 30, 50, 75, 100, 200):
                q = ml_min * 1e-6 / 60
                area = math.pi * d * d / 4
                v = q / area
                drop = 128 * MU * length * q / (math.pi * d**4)
                reynolds = RHO * v * d / MU
                factor = friction_factor(Re=reynolds, eD=0)
                yield (d * 1e3, length, ml_min, area * length * 1e6, reynolds, drop / (RHO * G) * 1e3,
                       factor * length / d * v * v / (2 * G) * 1e3)


def siphon():
    for d in (2e-3, 3e-3, 4e-3):
        for length in LENGTHS_M:
            for h in (0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.75, 1.0):
                def missing(v):
                    factor = Churchill_1977(RHO * v * d / MU, 0.0)
                    return G * h - (factor * length / d + 1.5 + 1.0) * v * v / 2
                v = brentq(missing, 1e-6, 20, xtol=1e-14, rtol=1e-13)
                yield d * 1e3, length, h, v * math.pi * d * d / 4 * 6e7, RHO * v * d / MU


def sweeping():
    # Wall stress of laminar flow: 8 mu v / d.
    for d in (2e-3, 3e-3, 4e-3, 6e-3):
        flows = [stress * d / (8 * MU) * math.pi * d * d / 4 * 6e7 for stress in (0.018, 0.06)]
        yield d * 1e3, *flows


def bond():
    for mm in (2, 3, 4, 5, 6, 8):
        number = RHO * G * (mm / 2e3)**2 / SIGMA
        yield mm, number, number < 0.842


water = f"water of 27 C by iapws {iapws.__version__}"
table("tube_holdup_laminar.csv",
      f"Hagen-Poiseuille, {water}; last column from fluids {fluids.__version__} friction_factor",
      "bore_mm,length_m,flow_ml_min,holdup_ml,reynolds,head_mm,head_fluids_mm", laminar())
table("siphon_flow.csv",
      f"g h = (f L/d + K + 1) v^2/2, K = 1.5; fluids {fluids.__version__} Churchill_1977(Re, 0) "
      f"(not friction_factor(), which turns to 64/Re below 2040), roots by scipy {scipy.__version__}, {water}",
      "bore_mm,length_m,head_m,flow_ml_min,reynolds", siphon())
table("tube_transport_min_flow.csv", f"Flow at which the laminar wall stress is 0.018 and 0.06 Pa, {water}",
      "bore_mm,flow_0.018_ml_min,flow_0.06_ml_min", sweeping())
table("tube_bond_number.csv", f"Bond number rho g r^2/sigma and whether it is below 0.842, {water}",
      "bore_mm,bond,holds", bond())
