"""A pack: see pack.yaml."""
