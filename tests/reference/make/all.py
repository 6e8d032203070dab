"""All tables that `../make.py` makes."""

from . import closed, closures, heat, hose, machine, network, regulator, rods, water, waves

MODULES = (water, closed, hose, regulator, waves, closures, network, heat, machine, rods)
TABLES = [table for module in MODULES for table in module.TABLES]
