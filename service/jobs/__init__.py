"""Many designs as one document: each checked by itself, one verdict over all of them."""

from __future__ import annotations

from service.jobs.doing import do_job

__all__ = ["do_job"]
