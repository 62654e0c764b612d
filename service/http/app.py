"""The application factory."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from flask import Flask

from rules.library.loading import Library, load_library
from service.engine import Engine, shipped
from service.http.access import guard
from service.http.answering import finish
from service.http.batch import batches
from service.http.catalogue import catalogue
from service.http.checks import checks
from service.http.comparisons import comparisons
from service.http.jobs import jobs
from service.http.operation import operation
from service.http.refusing import register
from service.http.room import Room
from service.http.running import Running, attach, utc_today
from service.http.sharing import share
from service.http.sizings import sizings
from service.http.speaking import speak
from service.http.trials import trials
from service.http.watching import watch
from service.memory import keep_memory
from service.metrics import new_metrics
from service.settings import Settings

DEFAULTS = Settings()


def create_app(
    settings: Settings = DEFAULTS, library: Library | None = None, *, engine: Engine | None = None,
    today: Callable[[], datetime.date] = utc_today,
) -> Flask:  # fmt: skip
    """Make the WSGI application.

    library: the rule packs; read from those installed and settings.packs when None, which raises LibraryRefused when one that has
    to be there is broken. engine and today are for tests.
    """
    app = Flask("birdsmouth", static_folder=None)
    app.url_map.merge_slashes = False
    keep_memory()
    packs = library if library is not None else load_library(settings.packs)
    attach(app, Running(settings, packs, engine or shipped(), Room(settings.waiting), new_metrics(), today))
    watch(app)
    speak(app)
    guard(app)
    for blueprint in (checks, comparisons, sizings, jobs, batches, catalogue, trials, operation):
        app.register_blueprint(blueprint)
    app.after_request(finish)
    share(app, settings.origins)
    register(app)
    return app
