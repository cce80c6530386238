"""Remakes the computed tables of this folder and compares them with those kept here; run it through `remake`.

The libraries of requirements.txt are installed into an environment under target/, which is kept until the list changes.
Each script writes its tables into an empty folder. Numbers must be the same to 9 digits (relative 1e-9), all other text
to the letter. What cannot be tried here (Python too old, no network, a machine too slow) is said, and is no failure; a
table that differs, is missing or is made by no script is one.
"""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ENVIRONMENT = HERE.parents[1] / "target" / "reference-tables"
OLDEST_PYTHON = (3, 11)
# Made by frytub itself: what a script reads, not what it makes.
GIVEN = {"sensitivity_runs.csv"}
RELATIVE = 1e-9
# Where a forest splits may hang on the last bit of a sum, which differs between processors: its table is compared within
# a third of the indices' own bounds, and without its heading, in which a figure stands.
LOOSE = {"sensitivity_indices.csv": 0.01}
PIP_LIMIT_S = 300
SCRIPT_LIMIT_S = 300
NO_NETWORK = ("NewConnectionError", "ConnectTimeout", "ReadTimeout", "ProxyError", "name resolution", "Max retries")
# What pip says of a package of which it was shown nothing: it may not ask an index, or the index does not answer. A
# version that is wrong in requirements.txt is told with the versions that there are, and is a failure.
NO_INDEX = "(from versions: none)"


def skip(why):
    print(f"tables not remade: {why}")
    sys.exit(0)


def environment():
    """The Python of an environment that holds exactly the wanted libraries."""
    wanted = (HERE / "requirements.txt").read_text()
    python, installed = ENVIRONMENT / "bin" / "python", ENVIRONMENT / "installed.txt"
    if installed.is_file() and installed.read_text() == wanted and python.exists():
        return python
    made = subprocess.run([sys.executable, "-m", "venv", "--clear", ENVIRONMENT], capture_output=True, text=True)
    if made.returncode != 0:
        skip(f"this Python makes no environments ({(made.stderr or made.stdout).strip()[:200]})")
    command = [python, "-m", "pip", "install", "--quiet", "--only-binary", ":all:", "--retries", "1", "--timeout", "15",
               "-r", HERE / "requirements.txt"]
    try:
        pip = subprocess.run(command, capture_output=True, text=True, timeout=PIP_LIMIT_S)
    except subprocess.TimeoutExpired:
        skip(f"the packages did not come within {PIP_LIMIT_S} s")
    if pip.returncode != 0:
        if any(sign in pip.stderr + pip.stdout for sign in (*NO_NETWORK, NO_INDEX)):
            skip("there is no network for the packages, or no index of them may be asked")
        sys.exit(f"the packages of requirements.txt cannot be installed:\n{pip.stderr}")
    installed.write_text(wanted)
    return python


def cells(path):
    return [line.split(",") for line in path.read_text(encoding="utf-8").splitlines()]


def is_same(kept, made, within):
    if kept == made:
        return True
    try:
        one, other = float(kept), float(made)
    except ValueError:
        return False
    return abs(one - other) <= max(within, RELATIVE * max(abs(one), abs(other)))


def differences(kept, made):
    within = LOOSE.get(kept.name, 0.0)
    kept, made = (cells(table)[1 if within else 0:] for table in (kept, made))
    if [len(row) for row in kept] != [len(row) for row in made]:
        return ["another number of rows or columns"]
    pairs = [(at, one, other) for at, rows in enumerate(zip(kept, made), 1) for one, other in zip(*rows)]
    return [f"line {at}: {one} is kept, {other} was made" for at, one, other in pairs if not is_same(one, other, within)]


def main():
    if sys.version_info < OLDEST_PYTHON:
        skip(f"the libraries need Python {OLDEST_PYTHON[0]}.{OLDEST_PYTHON[1]}, this is {sys.version.split()[0]}")
    python, wrong = environment(), []
    scripts = sorted(path for path in HERE.glob("*.py") if path != Path(__file__).resolve())
    with tempfile.TemporaryDirectory() as folder:
        for script in scripts:
            try:
                subprocess.run([python, script], cwd=folder, check=True, timeout=SCRIPT_LIMIT_S,
                               env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"})
            except subprocess.TimeoutExpired:
                skip(f"{script.name} took longer than {SCRIPT_LIMIT_S} s here")
        made = {path.name: path for path in Path(folder).glob("*.csv")}
        kept = {path.name: path for path in HERE.glob("*.csv") if path.name not in GIVEN}
        wrong += [f"{name}: made by no script" for name in sorted(kept.keys() - made.keys())]
        wrong += [f"{name}: made, but not kept" for name in sorted(made.keys() - kept.keys())]
        for name in sorted(kept.keys() & made.keys()):
            found = differences(kept[name], made[name])
            wrong += [f"{name}: {one}" for one in found[:5]]
            print(f"{name}: {'the same' if not found else f'{len(found)} differences'}")
    if wrong:
        sys.exit("\n".join(wrong))


main()
