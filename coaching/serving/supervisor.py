"""A parent that keeps its children running, and takes them along when it goes."""

import contextlib
import os
import selectors
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

LAUNCHER = Path(__file__).with_name("child.py")
# A child that lived shorter than this died quickly; after so many in a row there is no point in another.
QUICK_SECONDS = 10.0
QUICK_DEATHS = 5
FIRST_PAUSE = 1.0
STOP_SECONDS = 7.0


@dataclass
class Child:
    name: str
    command: list[str]
    process: subprocess.Popen | None = None
    started: float = 0.0
    start_at: float = 0.0
    quick_deaths: int = 0
    rest: bytes = b""


@dataclass
class Supervisor:
    children: list[Child]
    folder: Path
    environment: dict[str, str]
    say: Callable[[str], None]
    # Asked again and again until it says yes.
    is_up: Callable[[], bool]
    when_up: Callable[[], None]
    stopping: bool = False
    failed: bool = False
    selector: selectors.BaseSelector = field(default_factory=selectors.DefaultSelector)

    def run(self) -> bool:
        """Until told to stop, or a child dies too often. True when it was told."""
        for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            signal.signal(number, self._stop)
        announced = False
        try:
            while not self.stopping:
                self._start_due()
                self._pass_on_output(timeout=0.2)
                self._notice_deaths()
                if not announced and self.is_up():
                    announced = True
                    self.when_up()
        finally:
            self._end_all()
        return not self.failed

    def _stop(self, number: int, _frame: object) -> None:
        self.stopping = True

    def _start_due(self) -> None:
        for child in self.children:
            if child.process is None and time.monotonic() >= child.start_at:
                self._start(child)

    def _start(self, child: Child) -> None:
        child.started = time.monotonic()
        child.process = subprocess.Popen(
            [sys.executable, "-IS", str(LAUNCHER), str(os.getpid()), *child.command],
            cwd=self.folder,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            # A group of its own: Ctrl-C reaches us alone, and a child's children can be ended with it.
            process_group=0,
        )
        assert child.process.stdout is not None  # noqa: S101 -- for the type checker
        os.set_blocking(child.process.stdout.fileno(), False)
        self.selector.register(child.process.stdout, selectors.EVENT_READ, child)

    def _pass_on_output(self, timeout: float) -> None:
        if not self.selector.get_map():
            time.sleep(timeout)
        for key, _ in self.selector.select(timeout):
            child: Child = key.data
            chunk = os.read(key.fd, 65536)
            if not chunk:
                self.selector.unregister(key.fileobj)
                continue
            *lines, child.rest = (child.rest + chunk).split(b"\n")
            for line in lines:
                self._say_line(child, line)

    def _say_line(self, child: Child, line: bytes) -> None:
        text = line.decode(errors="replace")
        # A line in JSON is passed on as it is, for whoever reads lines in JSON.
        self.say(text if text.startswith("{") else f"{child.name:<9} | {text}")

    def _notice_deaths(self) -> None:
        for child in self.children:
            if child.process is not None and child.process.poll() is not None:
                self._bury(child)

    def _bury(self, child: Child) -> None:
        assert child.process is not None  # noqa: S101 -- for the type checker
        how = _how_it_ended(child.process.returncode)
        self._forget(child)
        lived = time.monotonic() - child.started
        child.quick_deaths = child.quick_deaths + 1 if lived < QUICK_SECONDS else 0
        if child.quick_deaths >= QUICK_DEATHS:
            self.say(f"{child.name} died {QUICK_DEATHS} times within {QUICK_SECONDS:.0f} s ({how}). Giving up.")
            self.stopping = self.failed = True
            return
        pause = FIRST_PAUSE * 2 ** (child.quick_deaths - 1) if child.quick_deaths else 0.0
        self.say(f"{child.name} ended ({how}); starting it again in {pause:.0f} s.")
        child.start_at = time.monotonic() + pause

    def _forget(self, child: Child) -> None:
        """Whatever the dead one left running in its group goes too; a job's lease brings its work back."""
        assert child.process is not None  # noqa: S101 -- for the type checker
        assert child.process.stdout is not None  # noqa: S101 -- for the type checker
        _signal_group(child.process, signal.SIGKILL)
        self._pass_on_output(timeout=0)
        if child.rest:
            self._say_line(child, child.rest)
            child.rest = b""
        with contextlib.suppress(KeyError):
            self.selector.unregister(child.process.stdout)
        child.process.stdout.close()
        child.process = None

    def _end_all(self) -> None:
        running = [child for child in self.children if child.process is not None]
        for child in running:
            # To the leaders only: they know how to end their own.
            child.process.terminate()  # type: ignore[union-attr]
        deadline = time.monotonic() + STOP_SECONDS
        while time.monotonic() < deadline and any(c.process.poll() is None for c in running):  # type: ignore[union-attr]
            self._pass_on_output(timeout=0.1)
        for child in running:
            self._forget(child)


def _signal_group(process: subprocess.Popen, number: int) -> None:
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, number)
    with contextlib.suppress(subprocess.TimeoutExpired):
        process.wait(timeout=1)


def _how_it_ended(code: int) -> str:
    return f"signal {signal.Signals(-code).name}" if code < 0 else f"exit code {code}"
