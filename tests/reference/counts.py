#!/usr/bin/env python3
"""Binomial and Poisson distributions, written to counts.csv: for each, three middle counts and two in either tail, with
the chance of that count or fewer and the skewness; made with scipy. A Poisson row has trials 0 and its mean for the chance.
"""
import scipy
from scipy.stats import binom, poisson

BINOMIALS = [(1, 0.3), (7, 0.3), (12, 0.05), (13, 0.05), (40, 0.5), (200, 0.02), (200, 0.97), (430, 0.4), (1000, 0.3),
             (100_000, 0.9), (10_000_000, 1e-4)]
MEANS = [0.05, 0.7, 4.0, 12.0, 24.9, 25.1, 60.0, 400.0, 1e5]

with open("counts.csv", "w") as out:
    out.write(f"# scipy {scipy.__version__} binom and poisson; made by counts.py\n")
    out.write("trials,chance_or_mean,count,share,skewness\n")
    laws = [(n, p, binom(n, p)) for n, p in BINOMIALS] + [(0, mean, poisson(mean)) for mean in MEANS]
    for trials, p, law in laws:
        skewness = float(law.stats("s"))
        for count in sorted({int(law.ppf(share)) for share in (0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99)}):
            out.write(f"{trials},{p!r},{count},{float(law.cdf(count))!r},{skewness!r}\n")
