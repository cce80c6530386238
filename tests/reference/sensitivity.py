#!/usr/bin/env python3
"""What matters most in the built-in example, by other means than rank correlation; written to sensitivity_indices.csv.

Reads sensitivity_runs.csv: of every world the difference in weaned fry and every uncertain number, as hundredths of the
worlds in which it is smaller. It was cut out of what `frytub compare --broods 2000` writes, by giving this script the path
of that world_numbers.csv; without a path the table kept here is taken. First-order indices come from the worlds themselves by RBD-FAST (Tarantola, Gatelli & Mara 2006,
Reliab. Eng. Syst. Saf. 91:717-727); first-order and total Sobol' indices (Saltelli et al. 2010, Comput. Phys. Commun.
181:259-270) from a random forest (Breiman 2001, Mach. Learn. 45:5-32) fitted to the worlds. Every index comes with half the
width of its 95 % interval.
"""
import csv
import sys
from importlib.metadata import version
from pathlib import Path

import numpy as np
import sklearn
from SALib.analyze import rbd_fast, sobol
from SALib.sample import sobol as sobol_sample
from sklearn.ensemble import RandomForestRegressor

SEED = 1
RUNS = Path(__file__).with_name("sensitivity_runs.csv")


def rows_of(path):
    with open(path, encoding="utf-8", newline="") as text:
        rows = list(csv.reader(line for line in text if not line.startswith("#")))
    return rows[0], np.array([[float(cell) for cell in row] for row in rows[1:]])


if len(sys.argv) > 1:
    # In the order of their names: in that of their rank correlations a test could not tell a broken one from a whole.
    head, worlds = rows_of(sys.argv[1])
    order = [0, 1, *sorted(range(2, len(head)), key=head.__getitem__)]
    head, worlds = [head[at] for at in order], worlds[:, order]
    places = worlds[:, 2:].argsort(axis=0, kind="stable").argsort(axis=0, kind="stable") * 100 // len(worlds)
    with open(RUNS, "w", encoding="utf-8", newline="") as out:
        out.write(f"# frytub compare --broods 2000: {head[1]}; numbers as hundredths of the worlds; cut by sensitivity.py\n")
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["difference", *head[2:]])
        writer.writerows([f"{world[1]:.4g}", *place] for world, place in zip(worlds, places))

names, table = rows_of(RUNS)
names = names[1:]
difference, numbers = table[:, 0], (table[:, 1:] + 0.5) / 100
problem = {"num_vars": len(names), "names": names, "bounds": [[0.0, 1.0]] * len(names)}

first = rbd_fast.analyze(problem, numbers, difference, num_resamples=200, seed=SEED)
forest = RandomForestRegressor(n_estimators=300, min_samples_leaf=3, max_features=0.4, oob_score=True, random_state=SEED)
forest.fit(numbers, difference)
sample = sobol_sample.sample(problem, 512, calc_second_order=False, seed=SEED)
indices = sobol.analyze(problem, forest.predict(sample), calc_second_order=False, num_resamples=200, seed=SEED)

with open("sensitivity_indices.csv", "w", encoding="utf-8") as out:
    out.write(f"# SALib {version('SALib')}, scikit-learn {sklearn.__version__}; the forest explains a share of "
              f"{forest.oob_score_:.4f} of the variance out of bag; made by sensitivity.py\n")
    out.write("number,rbd_first,rbd_first_half,forest_first,forest_first_half,forest_total,forest_total_half,oob\n")
    for at in range(len(names)):
        row = [first["S1"][at], first["S1_conf"][at], indices["S1"][at], indices["S1_conf"][at], indices["ST"][at],
               indices["ST_conf"][at], forest.oob_score_]
        out.write(f"{at + 1}," + ",".join(f"{value:.6f}" for value in row) + "\n")
