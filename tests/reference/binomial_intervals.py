#!/usr/bin/env python3
"""95 % intervals for a proportion by Wilson and by Clopper & Pearson, written to binomial_intervals.csv; made with
statsmodels.

The first four pairs are the examples of Newcombe 1998 (Stat. Med. 17:857-872, Table I); the others take in the ends
and the sizes that a comparison of plans meets.
"""
import statsmodels
from statsmodels.stats.proportion import proportion_confint

PAIRS = [(81, 263), (15, 148), (0, 20), (1, 29), (0, 10), (1, 10), (5, 10), (8, 10), (9, 10), (10, 10), (0, 100),
         (1, 100), (50, 100), (95, 100), (100, 100), (23, 60), (900, 1000), (999, 1000), (1000, 1000)]

with open("binomial_intervals.csv", "w") as out:
    out.write(f"# statsmodels {statsmodels.__version__} proportion_confint(method='wilson' and 'beta', alpha=0.05); "
              "made by binomial_intervals.py\n")
    out.write("successes,trials,low,high,exact_low,exact_high\n")
    for successes, trials in PAIRS:
        bounds = [bound for method in ("wilson", "beta")
                  for bound in proportion_confint(successes, trials, alpha=0.05, method=method)]
        out.write(f"{successes},{trials}," + ",".join(repr(float(bound)) for bound in bounds) + "\n")
