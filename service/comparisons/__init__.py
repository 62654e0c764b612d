"""One design under several sets of rules, or several designs, findings side by side."""

from __future__ import annotations

from service.comparisons.comparing import compare_document

__all__ = ["compare_document"]
