"""Trade shapes, a module each: a few dimensions in, a frame out. Imports rules.subject, and nothing else of rules."""

from rules.shapes.expanding import expand, shape_faults, told_of_the_shape, written_by_shape

__all__ = ["expand", "shape_faults", "told_of_the_shape", "written_by_shape"]
