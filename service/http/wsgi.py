"""What a WSGI server runs: `gunicorn --config python:service.serving service.http.wsgi:app`."""

from __future__ import annotations

import os

from service.http.app import create_app
from service.http.threads import assert_one_thread
from service.settings import settings_from

app = create_app(settings_from(os.environ))
assert_one_thread()
