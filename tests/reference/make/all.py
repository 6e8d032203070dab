"""All tables that `../make.py` makes."""

from . import closed, hose, water

TABLES = [*water.TABLES, *closed.TABLES, *hose.TABLES]
