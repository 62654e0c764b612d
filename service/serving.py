"""gunicorn's configuration: `gunicorn --config python:service.serving service.http.wsgi:app`. It imports nothing but os at first.

Importing the package it is in has set BLAS to one thread by the time anything loads numpy. Workers have several threads, so that
/healthz answers while a check runs; each process calculates one check at a time. Rule packs are read once, before the fork.
"""

import os

_MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None

bind = os.environ.get("BIRDSMOUTH_BIND", "127.0.0.1:8080")
_asked = os.environ.get("BIRDSMOUTH_WORKERS", "").strip()
workers = int(_asked) if _asked in map(str, range(1, 65)) else os.cpu_count() or 1  # service.settings refuses anything else
worker_class = "service.http.worker.Worker"
threads = 16
preload_app = True
max_requests = 10_000
max_requests_jitter = 1_000
timeout = 60
graceful_timeout = 30
keepalive = 5
worker_tmp_dir = _MEMORY
control_socket_disable = True
accesslog = None  # service.http.watching writes the line, by route: an address may hold a name
limit_request_line = 4_094
limit_request_fields = 50
limit_request_field_size = 8_190
forwarder_headers = ""  # or a caller could give another path than the one a gateway let through
secure_scheme_headers: dict[str, str] = {}  # no answer hangs on the scheme, and two gateways may disagree on it

_asked = os.environ.get("BIRDSMOUTH_LOG_LEVEL", "").strip().upper()
_level = _asked if _asked in ("INFO", "WARNING", "ERROR") else "INFO"  # here too
_out = {"level": _level, "handlers": ["out"], "propagate": False}
logconfig_dict = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "service.journal.formatter"}},
    "handlers": {"out": {"class": "logging.StreamHandler", "formatter": "json", "stream": "ext://sys.stdout"}},
    "root": {"level": "WARNING", "handlers": ["out"]},
    "loggers": {"birdsmouth": _out, "gunicorn.error": _out, "gunicorn.access": {"level": "CRITICAL", "handlers": [], "propagate": False}},
}

_APPLICATION = "service.http.wsgi"
_FIGURES, _OWN = "PROMETHEUS_MULTIPROC_DIR", "birdsmouth-"
_place = next((each for each in (_MEMORY, os.environ.get("TMPDIR"), "/tmp") if each and os.access(each, os.W_OK)), "/tmp")
_folder = os.environ.get(_FIGURES) or os.path.join(_place, f"{_OWN}{os.getpid()}")
raw_env = [f"{_FIGURES}={_folder}"]


def on_starting(_arbiter: object) -> None:
    """Make the folder in which the workers count, or empty it: what an earlier run counted is not this one's."""
    try:
        sweep(_place)
        os.makedirs(_folder, mode=0o700, exist_ok=True)
        _forget(_folder)
    except OSError as error:
        os.write(2, f"birdsmouth cannot start: figures are kept in files, and {error.filename}: {error.strerror}\n".encode())
        raise SystemExit(2) from None


def on_reload(arbiter) -> None:  # type: ignore[no-untyped-def]  # gunicorn ships no types
    """Read tokens and packs anew (SIGHUP) before new workers start. What makes no sense is told, and all stays as it was."""
    import sys

    before = sys.modules.pop(_APPLICATION)
    try:
        arbiter.app.callable = arbiter.app.load()
    except SystemExit:
        sys.modules[_APPLICATION] = before
        arbiter.log.error("Nothing was read anew: tokens and packs stay as they were")


def child_exit(_arbiter: object, worker: object) -> None:
    """Keep what a worker that has ended has counted."""
    from service.metrics import fold

    fold(worker.pid)  # type: ignore[attr-defined]  # gunicorn ships no types


def on_exit(_arbiter: object) -> None:
    """Leave nothing behind."""
    _remove(_folder)


def sweep(place: str) -> None:
    """Remove the folders of servers that were killed and could not: ours, with nothing but figures in them, of processes that are no more."""
    for name in os.listdir(place):
        folder, number = os.path.join(place, name), name.removeprefix(_OWN)
        ours = name.startswith(_OWN) and number.isascii() and number.isdecimal() and not os.path.islink(folder)
        if ours and os.path.isdir(folder) and os.stat(folder).st_uid == os.geteuid() and not _lives(int(number)):
            _remove(folder)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _remove(folder: str) -> None:
    _forget(folder)
    if not os.listdir(folder):
        os.rmdir(folder)


def _forget(folder: str) -> None:
    for file in os.listdir(folder):
        if file.endswith(".db"):
            os.unlink(os.path.join(folder, file))
