"""Quantities that several rules of CSA O86 share, as far as this pack holds them."""
