#!/usr/bin/env python3
"""Density and viscosity of pure water at 0.101325 MPa, 1 to 36 degrees, written to water_properties.csv.

Columns: IAPWS-95 density and IAPWS R12-08 viscosity by the iapws package; the same two by CoolProp, an independent
implementation; and two closed forms written out here (Kell 1975, IAPWS SR6-08).
"""
import CoolProp
import iapws
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS95
from iapws._iapws import _Viscosity

MPA = 0.101325


def kell(t):
    """Kell 1975, J. Chem. Eng. Data 20:97-105, equation 16 (kg/m3; t on IPTS-68: below 0.003 kg/m3 here)."""
    top = (999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3
           + 105.56302e-9 * t**4 - 280.54253e-12 * t**5)
    return top / (1 + 16.879850e-3 * t)


def viscosity_sr608(t):
    """IAPWS SR6-08(2011), viscosity of the liquid at 0.1 MPa (Pa s)."""
    x = (t + 273.15) / 300
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40)


with open("water_properties.csv", "w") as out:
    out.write(f"# Pure water at 0.101325 MPa; iapws {iapws.__version__}, CoolProp {CoolProp.__version__}; "
              "made by water_properties.py\n")
    out.write("celsius,iapws95_kg_m3,coolprop_kg_m3,kell_kg_m3,iapws_r1208_pa_s,coolprop_pa_s,iapws_sr608_pa_s\n")
    for half in range(2, 73):
        t = half / 2
        kelvin = t + 273.15
        rho = IAPWS95(T=kelvin, P=MPA).rho
        row = [t, rho, PropsSI("D", "T", kelvin, "P", MPA * 1e6, "Water"), kell(t), _Viscosity(rho, kelvin),
               PropsSI("V", "T", kelvin, "P", MPA * 1e6, "Water"), viscosity_sr608(t)]
        out.write(",".join(repr(float(value)) for value in row) + "\n")
