"""Quantities that several rules of AS 1720.1 share, as far as this pack holds them."""
