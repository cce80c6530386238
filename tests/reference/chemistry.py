#!/usr/bin/env python3
"""Ammonia and oxygen in fresh water, written to unionised_ammonia_fraction.csv, epa2013_ammonia_criteria.csv and
oxygen_saturation.csv.

Un-ionised share: Emerson et al. 1975, J. Fish. Res. Board Can. 32:2379-2383. Oxygen: Benson & Krause 1984, Limnol.
Oceanogr. 29:620-632 (APHA 4500-O), beside the fit of Garcia & Gordon 1992 as the gsw package has it. Criteria: US EPA 2013, 822-R-13-001,
acute (CMC), mg total ammonia nitrogen/L.
"""
import math

import gsw

PHS = [6.0, 6.5, 7.0, 7.2, 7.4, 7.6, 7.8, 8.0, 8.2, 8.4, 8.6, 8.8, 9.0]

with open("unionised_ammonia_fraction.csv", "w") as out:
    out.write("# chemistry.py: Emerson et al. 1975: pKa = 0.09018 + 2729.92/T; share = 1/(1 + 10^(pKa - pH))\n")
    out.write("celsius,pka," + ",".join(f"ph{ph}" for ph in PHS) + "\n")
    for celsius in range(18, 34):
        pka = 0.09018 + 2729.92 / (celsius + 273.15)
        out.write(f"{celsius},{pka!r}," + ",".join(repr(1 / (1 + 10 ** (pka - ph))) for ph in PHS) + "\n")


def acute_criterion(celsius, ph, with_salmonids):
    """Salmonids are one group, other fish are the 51.93, mussels the term that falls with temperature."""
    salmonids = 0.275 / (1 + 10 ** (7.204 - ph)) + 39.0 / (1 + 10 ** (ph - 7.204))
    others = 0.7249 * (0.0114 / (1 + 10 ** (7.204 - ph)) + 1.6181 / (1 + 10 ** (ph - 7.204)))
    mussels = 23.12 * 10 ** (0.036 * (20 - celsius))
    return min(salmonids, others * mussels) if with_salmonids else others * min(51.93, mussels)


with open("epa2013_ammonia_criteria.csv", "w") as out:
    out.write("# chemistry.py: US EPA 822-R-13-001 (2013), acute criterion, mg total ammonia N/L\n")
    out.write("celsius,ph,with_salmonids,without_salmonids\n")
    for celsius in (4, 8, 20, 24, 28, 30):
        for tenth in range(65, 91):
            ph = tenth / 10
            out.write(f"{celsius},{ph},{acute_criterion(celsius, ph, True)!r},{acute_criterion(celsius, ph, False)!r}\n")


def benson_krause(celsius):
    t = celsius + 273.15
    return math.exp(-139.34411 + 1.575701e5 / t - 6.642308e7 / t**2 + 1.243800e10 / t**3 - 8.621949e11 / t**4)


with open("oxygen_saturation.csv", "w") as out:
    out.write(f"# chemistry.py: Benson & Krause 1984, mg/L; gsw {gsw.__version__} O2sol_SP_pt x 31.9988e-3 x density/1000\n")
    out.write("celsius,benson_krause_mg_l,gsw_mg_l\n")
    for celsius in range(15, 36):
        umol = float(gsw.O2sol_SP_pt(0.0, float(celsius)))
        density = float(gsw.rho(0.0, float(celsius), 0.0))
        out.write(f"{celsius},{benson_krause(celsius)!r},{umol * 31.9988e-3 * density / 1000!r}\n")
