"""All tables that `../make.py` makes."""

from . import closed, closures, heat, hose, network, regulator, water, waves

TABLES = [*water.TABLES, *closed.TABLES, *hose.TABLES, *regulator.TABLES, *waves.TABLES, *closures.TABLES, *network.TABLES, *heat.TABLES]
