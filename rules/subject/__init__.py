"""Nouns of the trade: the design as the rest of the package sees it, and what can be wrong with it. Imports nothing of rules."""
