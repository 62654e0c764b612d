"""`pip install .` as a user does it, dependencies and all, outside the checkout. Asks the registry, so it is run by `make prove`."""

import subprocess
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.prove


def test_the_folder_installs_into_a_new_environment_and_the_demo_runs(tmp_path: Path) -> None:
    venv.create(tmp_path / "venv", with_pip=True)
    tools = tmp_path / "venv" / "bin"
    subprocess.run([tools / "pip", "install", "-qq", str(ROOT)], check=True, cwd=tmp_path)
    shown = subprocess.run([tools / "birdsmouth", "demo"], check=True, cwd=tmp_path, capture_output=True, text=True).stdout
    print(f"\nthe demo says {len(shown.splitlines())} lines and leaves {len(list((tmp_path / 'birdsmouth-demo').iterdir()))} files")
    assert "TARROWBY-T02" in shown
    assert (tmp_path / "birdsmouth-demo" / "fink.report.json").exists()


def test_the_image_steps_give_a_working_command(tmp_path: Path) -> None:
    """What the image file does, without a container engine: run set by hash, build tools by hash, wheel, install, no pip left."""
    for name in ("run", "build"):
        venv.create(tmp_path / name, with_pip=True)
        pip = [str(tmp_path / name / "bin" / "python"), "-m", "pip"]
        subprocess.run([*pip, "install", "-qq", "--no-deps", "--require-hashes", "-r", str(ROOT / f"requirements-{name}.lock")], check=True)
    build, run = (str(tmp_path / name / "bin" / "python") for name in ("build", "run"))
    subprocess.run(
        [build, "-m", "pip", "wheel", "-qq", "--no-deps", "--no-build-isolation", "--wheel-dir", str(tmp_path), str(ROOT)], check=True
    )
    (wheel,) = tmp_path.glob("*.whl")
    subprocess.run([run, "-m", "pip", "install", "-qq", "--no-deps", str(wheel)], check=True)
    subprocess.run([run, "-m", "pip", "check"], check=True)
    subprocess.run([run, "-m", "pip", "uninstall", "--yes", "-qq", "pip"], check=True)
    design = ROOT / "service" / "demo" / "designs" / "solid-joist.json"
    command = [str(tmp_path / "run" / "bin" / "birdsmouth"), "check", str(design)]
    told = subprocess.run(command, check=True, cwd=tmp_path, capture_output=True, text=True).stdout
    print(f"\nwheel of {wheel.stat().st_size / 1e6:.1f} MB; the command says {len(told.splitlines())} lines")
    assert "PASS  TARROWBY-J02" in told
