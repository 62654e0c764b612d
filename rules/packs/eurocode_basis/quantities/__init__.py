"""Formulas of this pack: quantities by name."""
