"""Judgement: what codes, regions and workshops ask of a frame. Imports the solver's public face, never the service."""

__distribution__ = "birdsmouth"
__version__ = "0.1.0"
"""The engine's version: in every receipt, and the distribution's own."""
