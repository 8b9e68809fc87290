"""Runs the tools that open strangers' files: few rights, bounded means, and nothing left behind."""

import errno
import json
import os
import selectors
import signal
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import IO

import imageio_ffmpeg

from submissions.domain.media.reasons import BadClip, Reason, ToolFailed

LAUNCHER = Path(__file__).with_name("launch.py")
# ffmpeg needs 1.2 GiB of address space for 4K with two threads.
ADDRESS_SPACE_BYTES = 3 * 1024**3
LIMIT_SIGNALS = {-signal.SIGXCPU: Reason.TOOK_TOO_LONG, -signal.SIGXFSZ: Reason.TOO_MUCH_DATA}
STOPPED_FROM_OUTSIDE = {-signal.SIGKILL, -signal.SIGTERM, -signal.SIGINT, -signal.SIGHUP}


@dataclass(frozen=True)
class Limits:
    wall_s: float
    cpu_s: int
    file_bytes: int = 2 * 1024**3
    memory_bytes: int = ADDRESS_SPACE_BYTES
    open_files: int = 64

    def as_rlimits(self) -> dict[str, int]:
        return {
            "RLIMIT_CPU": self.cpu_s,
            "RLIMIT_AS": self.memory_bytes,
            "RLIMIT_FSIZE": self.file_bytes,
            "RLIMIT_NOFILE": self.open_files,
            "RLIMIT_CORE": 0,
        }


@dataclass(frozen=True)
class Finished:
    """What the tool printed may quote the file's metadata, so a place: it is judged and never logged."""

    returncode: int
    stdout: bytes
    stderr: bytes


def run_ffmpeg(arguments: list[str], limits: Limits) -> Finished:
    return run([ffmpeg_path(), *arguments], limits)


def run_python(script: Path, arguments: list[str], limits: Limits) -> Finished:
    """Run one file in isolated mode: nothing from the environment, the folder or the user's site."""
    return run([sys.executable, "-I", str(script), *arguments], limits)


@cache
def ffmpeg_path() -> str:
    """The binary that comes as a package, else the system's."""
    try:
        return imageio_ffmpeg.get_ffmpeg_exe()
    except RuntimeError as error:
        raise ToolFailed("no ffmpeg: install imageio-ffmpeg or the system package") from error


def run(argv: list[str], limits: Limits) -> Finished:
    """Run a program to its end or its limits; its whole process group is gone when this returns.

    Raises BadClip when the time, CPU or output limit was hit, ToolFailed when it was
    stopped from outside. Any other outcome, failure included, is returned.
    """
    # Files, not pipes: a child that inherits a pipe can keep its reader waiting for ever.
    with (
        tempfile.TemporaryDirectory(prefix="clip-") as folder,
        tempfile.TemporaryFile() as out,
        tempfile.TemporaryFile() as err,
    ):
        returncode = _wait(_start(argv, limits, folder, out, err), limits.wall_s)
        finished = Finished(returncode, _written(out), _written(err))
    if returncode in LIMIT_SIGNALS:
        raise BadClip(LIMIT_SIGNALS[returncode])
    if returncode in STOPPED_FROM_OUTSIDE:
        raise ToolFailed(f"stopped by signal {-returncode}")
    if os.strerror(errno.ENOSPC).encode() in finished.stderr:
        raise ToolFailed("the disk is full")
    return finished


def _start(argv: list[str], limits: Limits, folder: str, out: IO[bytes], err: IO[bytes]) -> subprocess.Popen[bytes]:
    launcher = [sys.executable, "-I", "-S", str(LAUNCHER), json.dumps(limits.as_rlimits()), str(os.getpid())]
    return subprocess.Popen(
        [*launcher, *argv],
        stdin=subprocess.DEVNULL,
        stdout=out,
        stderr=err,
        cwd=folder,
        env={"PATH": "/usr/bin:/bin", "LC_ALL": "C.UTF-8"},
        start_new_session=True,
    )


def _wait(process: subprocess.Popen[bytes], wall_s: float) -> int:
    in_time = False
    try:
        in_time = _ends_within(process.pid, wall_s)
    finally:
        # Not yet reaped, so the number still names our group and no one else's.
        os.killpg(process.pid, signal.SIGKILL)
        returncode = process.wait()
    if not in_time:
        raise BadClip(Reason.TOOK_TOO_LONG)
    return returncode


def _ends_within(pid: int, wall_s: float) -> bool:
    handle = os.pidfd_open(pid)
    try:
        with selectors.DefaultSelector() as selector:
            selector.register(handle, selectors.EVENT_READ)
            return bool(selector.select(wall_s))
    finally:
        os.close(handle)


def _written(stream: IO[bytes], most: int = 4 * 1024**2) -> bytes:
    stream.seek(0)
    return stream.read(most)
