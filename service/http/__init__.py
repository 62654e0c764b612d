"""The HTTP face: a Flask application that turns requests into calls of service.pipeline and documents into answers."""

from service.http.app import create_app

__all__ = ["create_app"]
