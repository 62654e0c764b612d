"""Loads the modules that solver tests and benchmarks share, which lie beside this file and belong to no package."""

import importlib.util
import sys
from pathlib import Path

import pytest


def _beside(name):
    known = f"solver_tests_{name}"
    if known not in sys.modules:
        spec = importlib.util.spec_from_file_location(known, Path(__file__).with_name(f"{name}.py"))
        module = importlib.util.module_from_spec(spec)
        sys.modules[known] = module
        spec.loader.exec_module(module)
    return sys.modules[known]


@pytest.fixture(scope="session")
def workloads():
    """Frames W1 to W6 and random ones."""
    return _beside("workloads")


@pytest.fixture(scope="session")
def multipliers():
    """The same frames by free bays and constraints."""
    return _beside("multipliers")


@pytest.fixture(scope="session")
def opensees():
    """The same frames in a general finite-element library."""
    return _beside("opensees")


@pytest.fixture(scope="session")
def galerkin():
    """The same frames in a second one, from weak forms."""
    return _beside("galerkin")
