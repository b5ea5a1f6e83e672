"""The command ``icefront``."""

import signal
import sys

from ._native import run


def main() -> int:
    """Runs the command on the arguments of this process; its exit code."""
    # Ctrl-C ends the command as it ends any other program
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    return run(["icefront", *sys.argv[1:]])


if __name__ == "__main__":
    sys.exit(main())
