"""The command line, one file a command. Exit status: 0 in order, 1 findings, 2 the input or the tool is at fault."""

from service.cli.command import main

__all__ = ["main"]
