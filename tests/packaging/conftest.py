import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the checkout with the locked build tools."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-qq", "--no-deps", "--no-build-isolation", "--wheel-dir", str(folder), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="session")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The programs' folder of a new virtual environment outside the checkout that holds the wheel. Its dependencies are read from
    this environment, so no registry is asked; the editable install here does not reach it."""
    home = tmp_path_factory.mktemp("installed") / "venv"
    venv.create(home, with_pip=False, symlinks=True)
    python = home / "bin" / "python"
    command = [sys.executable, "-m", "pip", "--python", str(python), "install", "-qq", "--no-deps", "--no-index", str(wheel)]
    subprocess.run(command, check=True, capture_output=True)
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = subprocess.run([python, "-c", ask], check=True, capture_output=True, text=True).stdout.strip()
    Path(site, "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return home / "bin"
