"""What one application holds from start to end, and how a view gets at it."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from flask import Flask, current_app

from rules.library.loading import Library
from service.engine import Engine
from service.http.room import Room
from service.metrics import Metrics
from service.settings import Settings

_NAME = "birdsmouth"


@dataclass(frozen=True, slots=True)
class Running:
    """What a view needs. today: asks the clock which day it is (UTC)."""

    settings: Settings
    library: Library
    engine: Engine
    room: Room
    metrics: Metrics
    today: Callable[[], datetime.date]


def attach(app: Flask, running: Running) -> None:
    """Give an application what it holds."""
    app.extensions[_NAME] = running


def running() -> Running:
    """What the application of this request holds."""
    return held_by(current_app)


def held_by(app: Flask) -> Running:
    """What an application holds."""
    return cast(Running, app.extensions[_NAME])


def utc_today() -> datetime.date:
    """The day it is now in UTC."""
    return datetime.datetime.now(datetime.UTC).date()
