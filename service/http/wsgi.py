"""What a WSGI server runs: `gunicorn --config python:service.serving service.http.wsgi:app`."""

from __future__ import annotations

import os
import sys

from rules.library.loading import LibraryRefused
from service.http.app import create_app
from service.http.starting import tell
from service.http.threads import TooManyThreads, assert_one_thread
from service.memory import look_for_rings_seldom
from service.settings import SettingsRefused, settings_from

try:
    app = create_app(settings_from(os.environ))
    look_for_rings_seldom()
    assert_one_thread()
    tell(app, os.environ)
except (LibraryRefused, SettingsRefused, TooManyThreads) as refusal:
    sys.stderr.write(f"birdsmouth cannot start: {refusal}\n")
    raise SystemExit(2) from None
