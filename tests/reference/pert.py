#!/usr/bin/env python3
"""Quantiles and moments of PERT distributions, written to pert_quantiles.csv; made with scipy.

A beta distribution on [low, high] with shape parameters 1 + 4 (likely - low)/(high - low) and 1 + 4 (high - likely)/
(high - low) (Malcolm et al. 1959, Oper. Res. 7:646-669).
"""
import scipy
from scipy.stats import beta

RANGES = [(0, 1, 2), (2, 3, 10), (0.4, 0.4, 1), (-5, 4, 4), (0.11, 0.14, 0.19), (1e-5, 2e-5, 9e-5)]

with open("pert_quantiles.csv", "w") as out:
    out.write(f"# scipy {scipy.__version__} beta; made by pert.py\n")
    out.write("low,likely,high,mean,sd,quantile,value\n")
    for low, likely, high in RANGES:
        width = high - low
        law = beta(1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width, loc=low, scale=width)
        for quantile in (0.001, 0.0125, 0.1, 0.25, 0.5, 0.75, 0.9, 0.9875, 0.999):
            row = [low, likely, high, law.mean(), law.std(), quantile, law.ppf(quantile)]
            out.write(",".join(repr(float(value)) for value in row) + "\n")
