#!/usr/bin/env python3
"""Survival under pulses of a poison, written to harm_pulses.csv: the reduced general unified threshold model with
stochastic death (Jager, Albert, Preuss & Ashauer 2011, Environ. Sci. Technol. 45:2529-2540), integrated with scipy.

dD/dt = k (C - D), dH/dt = b max(0, D - z), everything in LC50s; b is such that H = ln 2 after 96 h at C = 1. No closed
form is used: solve_ivp carries D and H, and b is found by brentq on the same integration.
"""
import math

import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

KINDS = [(0.03, 0.5), (0.1, 0.7), (0.3, 0.9), (1.0, 0.3)]
# Exposure in LC50s and its hours, one after the other.
PULSES = [(3.0, 5.0), (0.2, 7.0), (1.5, 20.0), (0.0, 40.0), (0.8, 30.0), (6.0, 1.0), (0.0, 100.0)]


def carry(harm, summed, exposure, hours, k, z):
    """Harm and summed D - z above z after some hours of an exposure, cut where harm passes the threshold."""
    def rates(_, state):
        return [k * (exposure - state[0]), max(0.0, state[0] - z)]

    def passes(_, state):
        return state[0] - z
    passes.terminal = True
    done = 0.0
    while done < hours:
        # A start on the threshold itself would stop at once: step over it.
        if done > 0.0:
            nudge = min(1e-9, hours - done)
            harm, done = harm + k * (exposure - harm) * nudge, done + nudge
            if done >= hours:
                break
        run = solve_ivp(rates, (done, hours), [harm, summed], method="DOP853", rtol=1e-12, atol=1e-14, events=passes)
        harm, summed, done = float(run.y[0][-1]), float(run.y[1][-1]), float(run.t[-1])
        if not run.t_events[0].size:
            break
    return harm, summed


with open("harm_pulses.csv", "w") as out:
    out.write(f"# scipy {scipy.__version__} solve_ivp DOP853; hazard is summed from the beginning; made by harm.py\n")
    out.write("speed_per_h,threshold,exposure,hours,harm,hazard\n")
    for k, z in KINDS:
        at_lc50 = carry(0.0, 0.0, 1.0, 96.0, k, z)[1]
        b = brentq(lambda b: b * at_lc50 - math.log(2), 1e-9, 1e6, xtol=1e-15, rtol=1e-14)
        harm = summed = 0.0
        for exposure, hours in PULSES:
            harm, summed = carry(harm, summed, exposure, hours, k, z)
            row = [k, z, exposure, hours, harm, b * summed]
            out.write(",".join(f"{value:.9f}".rstrip("0") for value in row) + "\n")
