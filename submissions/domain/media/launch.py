"""Started by `sandbox`, by its path, in a fresh interpreter: gives up what the tool must not have, then becomes it.

Standard library only: it must start in milliseconds, and it runs without the project on its path.
"""

import ctypes
import json
import os
import resource
import signal
import sys

CLONE_NEWNET, CLONE_NEWUSER = 0x40000000, 0x10000000
PR_SET_PDEATHSIG, PR_SET_NO_NEW_PRIVS = 1, 38


def main() -> None:
    limits, parent_pid, argv = json.loads(sys.argv[1]), int(sys.argv[2]), sys.argv[3:]
    os.nice(10)
    leave_the_network()
    die_with(parent_pid)
    for name, value in limits.items():
        lower(getattr(resource, name), value)
    # Python ignores these two, and ignored signals survive exec: the tool would not feel its limits.
    signal.signal(signal.SIGPIPE, signal.SIG_DFL)
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    os.execv(argv[0], argv)  # noqa: S606 -- the very purpose; no shell is involved


def leave_the_network() -> None:
    """Enter an empty network namespace where the kernel allows it. An extra: no whitelist depends on it."""
    # Root keeps its user namespace: without it, files owned by others would become unreadable.
    flags = CLONE_NEWNET if os.geteuid() == 0 else CLONE_NEWNET | CLONE_NEWUSER
    ctypes.CDLL(None, use_errno=True).unshare(flags)


def die_with(parent_pid: int) -> None:
    """Be killed when the worker is killed. After leave_the_network, which would clear it."""
    prctl = ctypes.CDLL(None, use_errno=True).prctl
    prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0)
    prctl(PR_SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0)
    if os.getppid() != parent_pid:
        os._exit(1)


def lower(limit: int, value: int) -> None:
    hard = resource.getrlimit(limit)[1]
    soft = value if hard == resource.RLIM_INFINITY else min(value, hard)
    # The soft CPU limit names its cause (SIGXCPU); the hard one, two seconds later, cannot be caught.
    margin = 2 if limit == resource.RLIMIT_CPU and hard == resource.RLIM_INFINITY else 0
    resource.setrlimit(limit, (soft, soft + margin))


if __name__ == "__main__":
    main()
