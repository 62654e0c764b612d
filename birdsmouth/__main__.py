"""The command `birdsmouth`: make sure the packages are ours, then hand over to the command line."""

import sys

from birdsmouth.distribution import ShadowedPackage


def main() -> int:
    """Run the command line with the arguments of this process; returns the exit status."""
    try:
        from service.cli import main as command_line
    except ShadowedPackage as error:
        sys.stderr.write(f"{error}\n")
        return 2
    return command_line()


if __name__ == "__main__":
    sys.exit(main())
