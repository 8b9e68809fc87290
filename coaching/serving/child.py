"""Becomes another program that ends when its parent does, however the parent dies.

Run by path with the parent's process id and the command. A small program of its own, because code between fork and
exec is not safe in a parent that has threads.
"""

import ctypes
import os
import signal
import sys

PR_SET_PDEATHSIG = 1


def main(parent: int, command: list[str]) -> None:
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
    if os.getppid() != parent:
        sys.exit("The parent ended before its child began.")
    os.execv(command[0], command)  # noqa: S606 -- our own argument list


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2:])
