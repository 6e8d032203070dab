"""All tables that `../make.py` makes."""

from . import closed, hose, regulator, water, waves

TABLES = [*water.TABLES, *closed.TABLES, *hose.TABLES, *regulator.TABLES, *waves.TABLES]
