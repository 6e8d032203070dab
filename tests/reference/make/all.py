"""All tables that `../make.py` makes."""

from . import closed, closures, hose, regulator, water, waves

TABLES = [*water.TABLES, *closed.TABLES, *hose.TABLES, *regulator.TABLES, *waves.TABLES, *closures.TABLES]
