"""What is laid on, stored or stood on a frame: kN per metre of one component, and kN at a point."""

from __future__ import annotations

from rules.library import quantity


@quantity("q", "kN/m")
def area_line(area_load, load_width):
    return area_load * load_width / 1000.0


@quantity("F", "kN")
def water_point(litres, water_density, gravity, tank_over_water, shares):
    return litres / 1000.0 * water_density * gravity / 1000.0 * tank_over_water / shares


@quantity("F", "kN")
def tank_point(tank_weight, shares):
    return tank_weight / shares


@quantity("F", "kN")
def wall_point(wall_weight, load_width):
    return wall_weight * load_width / 1000.0
