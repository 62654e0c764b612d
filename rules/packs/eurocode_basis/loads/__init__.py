"""How load cases are worked out: a module for each kind of load, called by derive.py."""
