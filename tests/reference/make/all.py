"""All tables that `../make.py` makes."""

from . import closed, closures, heat, hose, network, regulator, water, waves

MODULES = (water, closed, hose, regulator, waves, closures, network, heat)
TABLES = [table for module in MODULES for table in module.TABLES]
