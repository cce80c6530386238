#!/usr/bin/env python3
"""Kaplan-Meier estimate and log-rank test of a published trial, written to kaplan_meier_freireich.csv and
logrank_freireich.csv.

Weeks in remission of Freireich et al. 1963 (Blood 21:699-716), as printed in Kaplan-Meier textbooks: 21 children with
6-mercaptopurine, 21 with placebo. Estimates and Greenwood's standard error by statsmodels SurvfuncRight, the test by
statsmodels survdiff.
"""
import statsmodels
from scipy.stats import chi2
from statsmodels.duration.survfunc import SurvfuncRight, survdiff

ENDED = {1: [6, 6, 6, 7, 10, 13, 16, 22, 23],
         0: [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]}
STILL_IN_REMISSION = {1: [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35], 0: []}


def times(arm):
    return ENDED[arm] + STILL_IN_REMISSION[arm], [1] * len(ENDED[arm]) + [0] * len(STILL_IN_REMISSION[arm])


with open("kaplan_meier_freireich.csv", "w") as out:
    out.write(f"# statsmodels {statsmodels.__version__} SurvfuncRight; treated: 1 = 6-mercaptopurine, 0 = placebo; "
              "made by survival.py\n")
    out.write("treated,weeks,at_risk,ended,censored,survival,greenwood_se\n")
    for arm in (1, 0):
        weeks, status = times(arm)
        found = SurvfuncRight(weeks, status)
        share, error = dict(zip(found.surv_times, found.surv_prob)), dict(zip(found.surv_times, found.surv_prob_se))
        now = (1.0, 0.0)
        for week in sorted(set(weeks)):
            # Where the last of an arm goes the error is not defined.
            now = (share[week], error[week] if share[week] > 0 else 0.0) if week in share else now
            row = [arm, week, sum(w >= week for w in weeks), ENDED[arm].count(week),
                   STILL_IN_REMISSION[arm].count(week), *now]
            out.write(",".join(repr(float(value)) for value in row) + "\n")

with open("logrank_freireich.csv", "w") as out:
    weeks, status = (one + two for one, two in zip(times(1), times(0)))
    statistic, p = survdiff(weeks, status, [1] * 21 + [0] * 21)
    out.write(f"# statsmodels {statsmodels.__version__} survdiff; made by survival.py\n")
    out.write("chi_squared,p,p_by_chi2\n")
    out.write(",".join(repr(float(value)) for value in (statistic, p, chi2.sf(statistic, 1))) + "\n")
