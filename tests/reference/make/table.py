"""A table of reference values: its text, and how it differs from a text that is there."""

import csv
import io
import math
from dataclasses import dataclass, field
from typing import Callable, Iterable

DIGITS = 7


@dataclass
class Table:
    """One file: lines of its head, names of its columns, and what makes its rows."""

    name: str
    head: list[str]
    columns: str
    rows: Callable[[], Iterable[tuple]]
    # Units of the last of the seven digits by which another machine may differ: one is rounding,
    # more stands only at tables of step-wise solvers.
    units: dict[str, int] = field(default_factory=dict)

    def text(self) -> str:
        out = io.StringIO()
        for line in self.head:
            out.write(f"# {line}\n")
        out.write(self.columns + "\n")
        writer = csv.writer(out, lineterminator="\n")
        writer.writerows([cell(value) for value in row] for row in self.rows())
        return out.getvalue()


def cell(value) -> str:
    """A cell: texts as they are, numbers with seven digits."""
    if isinstance(value, str):
        return value
    text = f"{value:.{DIGITS}g}"
    return "0" if text == "-0" else text


def split(text: str) -> tuple[list[str], list[str], list[list[str]]]:
    """Head, columns and rows of a table's text."""
    lines = text.splitlines()
    head = [line for line in lines if line.startswith("#")]
    rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    return head, rows[0], rows[1:]


def differs(old: str, new: str, units: int = 1) -> bool:
    """Whether two cells differ by more than so many units of the last digit."""
    if old == new:
        return False
    try:
        a, b = float(old), float(new)
    except ValueError:
        return True
    if not (math.isfinite(a) and math.isfinite(b)):
        return True
    larger = max((a, old), (b, new), key=lambda pair: abs(pair[0]))
    unit = 10.0 ** (math.floor(math.log10(abs(larger[0]))) - DIGITS + 1) if larger[0] else 0.0
    return abs(a - b) > units * unit * 1.000_001


def differences(name: str, old: str, new: str, units: dict[str, int] | None = None) -> list[str]:
    """What differs between the text that is there and a fresh one, a line for each."""
    units = units or {}
    old_head, old_columns, old_rows = split(old)
    new_head, new_columns, new_rows = split(new)
    found = []
    if old_head != new_head:
        found.append(f"{name}: another head")
    if old_columns != new_columns:
        return [*found, f"{name}: columns {old_columns} became {new_columns}"]
    if len(old_rows) != len(new_rows):
        return [*found, f"{name}: {len(old_rows)} rows became {len(new_rows)}"]
    for number, (before, after) in enumerate(zip(old_rows, new_rows), 1):
        if len(before) != len(after):
            found.append(f"{name} row {number}: {len(before)} cells became {len(after)}")
        for column, a, b in zip(old_columns, before, after):
            if differs(a, b, units.get(column, 1)):
                found.append(f"{name} row {number} {column}: {a} became {b}")
    return found


def refuses_what_is_wrong() -> None:
    """Shows the comparison wrong texts, each of which it has to report, and right ones."""
    good = "# head\na,b\n1.234567,word\n1000,0\n"
    wrong = [
        good.replace("1.234567", "1.234569"),
        good.replace("1000", "1000.002"),
        good.replace("1000,0", "1000,1e-30"),
        good.replace("word", "ward"),
        good.replace("head", "heat"),
        good.replace("a,b", "a,c"),
        good + "1,2\n",
    ]
    for text in wrong:
        if not differences("probe", good, text):
            raise AssertionError(f"the comparison misses what is wrong here:\n{text}")
    for text in (good, good.replace("1.234567", "1.234568")):
        if differences("probe", good, text):
            raise AssertionError(f"the comparison refuses what is rounding:\n{text}")
