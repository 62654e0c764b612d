"""Quantities that several rules of the NDS share, as far as this pack holds them."""
