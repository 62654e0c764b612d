"""Which timber to take: choices from stock, checked, the cheapest that passes, and why the others do not."""

from __future__ import annotations

from service.sizings.sizing import size_document

__all__ = ["size_document"]
