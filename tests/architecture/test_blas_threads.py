"""One BLAS thread a process, set before numpy loads: with the default, several workers fight for the same cores."""

import subprocess
import sys

import pytest

VARIABLES = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
REPORT = f"import os, sys; print([os.environ.get(name) for name in {VARIABLES!r}], 'numpy' in sys.modules)"


def run(code: str) -> str:
    clean = {"PATH": "/usr/bin:/bin", "OPENBLAS_NUM_THREADS": "7"}
    return subprocess.run([sys.executable, "-c", code], env=clean, capture_output=True, text=True, check=True).stdout.strip()


@pytest.mark.parametrize("module", ["service", "service.serving"])
def test_importing_the_service_sets_one_thread_and_loads_no_numpy(module: str) -> None:
    assert run(f"import {module}; {REPORT}") == "['1', '1', '1'] False"


@pytest.mark.parametrize(
    "statement",
    ["import service.pipeline", "import service.cli", "import birdsmouth; birdsmouth.load_library", "from birdsmouth import check"],
)
def test_every_way_in_sets_one_thread(statement: str) -> None:
    assert run(f"{statement}; {REPORT}").startswith("['1', '1', '1']")


def test_the_facade_loads_neither_flask_nor_numpy() -> None:
    assert (
        run("import sys, birdsmouth; print([name for name in ('flask', 'numpy', 'marshmallow', 'gunicorn') if name in sys.modules])")
        == "[]"
    )


def test_the_facade_offers_the_library_without_flask() -> None:
    told = run(
        "import sys, birdsmouth; names = birdsmouth.__all__; [getattr(birdsmouth, name) for name in names]; print(len(names) > 5, 'flask' in sys.modules)"
    )
    assert told == "True False"
