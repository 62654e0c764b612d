"""Quantities that several rules of EN 1995-1-1 share, as far as this pack holds them."""
