"""Makes the tables of this folder anew, or compares a fresh set with the files that are there.

    python -m venv venv && venv/bin/pip install -r tests/reference/requirements.txt
    venv/bin/python tests/reference/make.py            # writes all tables
    venv/bin/python tests/reference/make.py --check    # compares, writes nothing
    venv/bin/python tests/reference/make.py wavespeed  # only the tables that are named

A comparison allows one unit of the last digit for rounding and fails with a list of what differs
by more. Two files are not made here: `waterhammer_tsnet.csv` wants older libraries
(`make_tsnet.py`), and `water_wide.csv` has its own script, which this one runs. Of
`published_checks.csv`, which is typed by hand, one column is computed.
"""

import argparse
import subprocess
import sys
from pathlib import Path

from make import published, table
from make.all import TABLES

HERE = Path(__file__).resolve().parent


def wide():
    """What water_wide.py prints."""
    script = [sys.executable, str(HERE / "water_wide.py")]
    return subprocess.run(script, check=True, capture_output=True, text=True).stdout


def fresh(names):
    """Name, text and allowed units of each table that is wanted."""
    for made in TABLES:
        if not names or made.name.removesuffix(".csv") in names:
            yield made.name, made.text(), made.units
    if not names or "water_wide" in names:
        yield "water_wide.csv", wide(), {}
    if not names or "published_checks" in names:
        yield published.NAME, published.text(HERE / published.NAME), {}


def main():
    wanted = argparse.ArgumentParser(description="Makes the reference tables anew.")
    wanted.add_argument("--check", action="store_true", help="compare, and write nothing")
    wanted.add_argument("names", nargs="*", help="tables, without .csv; all if none is named")
    arguments = wanted.parse_args()
    names = {name.removesuffix(".csv") for name in arguments.names}
    unknown = names - {made.name.removesuffix(".csv") for made in TABLES} - {"water_wide", "published_checks"}
    if unknown:
        sys.exit(f"no such table: {', '.join(sorted(unknown))}")
    table.refuses_what_is_wrong()
    found = []
    for name, text, units in fresh(names):
        path = HERE / name
        if not arguments.check:
            path.write_text(text, encoding="utf-8", newline="\n")
        elif not path.exists():
            found.append(f"{name}: is not there")
        else:
            found += table.differences(name, path.read_text(encoding="utf-8"), text, units)
    for line in found:
        print(line)
    if found:
        sys.exit(f"{len(found)} differences")


if __name__ == "__main__":
    main()
