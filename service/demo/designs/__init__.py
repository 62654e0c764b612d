"""Six design documents of an invented workshop; the numbers are derived in service/demo/README.md."""

from importlib.resources import files

ORDER = ("fink", "open-web-joist", "solid-joist", "two-reasons", "by-shape", "plated-fink")


def design_names() -> tuple[str, ...]:
    """Names of the demo designs, in the order a reader should meet them."""
    return ORDER


def read_design(name: str) -> bytes:
    """The bytes of one design document (format "birdsmouth-design-1"); KeyError when there is no such name."""
    if name not in ORDER:
        raise KeyError(name)
    return files(__name__).joinpath(f"{name}.json").read_bytes()
