"""The shapes of the documents: marshmallow schemas, and the way from an accepted document to rules.subject.Design."""

from service.schemas.loading import load, to_design, validate

__all__ = ["load", "to_design", "validate"]
