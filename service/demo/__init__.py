"""The demo designs, as files inside the package so that an installed wheel has them."""

from service.demo.designs import design_names, read_design

__all__ = ["design_names", "read_design"]
