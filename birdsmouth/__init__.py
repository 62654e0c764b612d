"""The one name outside code imports: checks a design, and offers what a pack author needs.

    import birdsmouth
    report = birdsmouth.check(open("t01.json", "rb").read())

Importing it loads neither Flask nor numpy: an outside pack that imports this package must not start a web server's worth of modules.
Everything else is fetched when it is first asked for.
"""

from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

from birdsmouth.distribution import require_own_packages

__distribution__ = "birdsmouth"

if TYPE_CHECKING:
    from birdsmouth.checking import check as check
    from rules.library import *  # noqa: F403  the type checker reads the list of names where it is written

    __version__: str

require_own_packages()


def _library() -> ModuleType:
    import_module("service")  # first: it sets the BLAS threads to one before numpy loads
    return import_module("rules.library")


def __getattr__(name: str) -> object:
    if name == "__version__":
        return import_module("birdsmouth.distribution").version()
    if name == "check":
        return import_module("birdsmouth.checking").check
    if name == "__all__":
        return ["__version__", "check", *_library().__all__]
    if not name.startswith("_") and name in _library().__all__:
        return getattr(_library(), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(["__version__", "check", *_library().__all__])
