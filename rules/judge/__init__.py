"""The judge: one design in, one report out. Pure: no clock, no files, no environment."""

from rules.judge.checking import analyse, check, written_out
from rules.judge.options import Options

__all__ = ["Options", "analyse", "check", "written_out"]
