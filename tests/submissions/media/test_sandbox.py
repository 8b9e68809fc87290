import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from submissions.domain.media import sandbox
from submissions.domain.media.reasons import BadClip, Reason, ToolFailed
from submissions.domain.media.sandbox import Limits

ROOT = Path(__file__).parents[3]
AMPLE = Limits(wall_s=20, cpu_s=20)
NETWORK_CAN_BE_LEFT = (
    subprocess.run(
        ["unshare", *([] if os.geteuid() == 0 else ["-U"]), "-n", "true"], capture_output=True, check=False
    ).returncode
    == 0
)


def run_code(code: str, limits: Limits = AMPLE, *arguments: str) -> sandbox.Finished:
    return sandbox.run([sys.executable, "-I", "-c", code, *arguments], limits)


def is_gone(pid: int, within_s: float = 3) -> bool:
    """Also a dead process that no one has collected yet is gone."""
    until = time.monotonic() + within_s
    while time.monotonic() < until:
        status = Path(f"/proc/{pid}/stat")
        if not status.exists() or status.read_text().rpartition(")")[2].split()[0] == "Z":
            return True
        time.sleep(0.02)
    return False


def test_a_finished_tool_gives_its_output_and_code():
    finished = run_code("import sys; print('seen'); sys.stderr.write('heard'); sys.exit(3)")

    assert (finished.returncode, finished.stdout, finished.stderr) == (3, b"seen\n", b"heard")


def test_a_runaway_and_its_child_are_gone_within_the_wall_limit(tmp_path):
    notes = tmp_path / "pids"
    code = (
        "import os, subprocess, sys\n"
        "child = subprocess.Popen(['/bin/sleep', '300'])\n"
        "open(sys.argv[1], 'w').write(f'{os.getpid()} {child.pid}')\n"
        "while True: pass"
    )
    started = time.monotonic()

    with pytest.raises(BadClip) as caught:
        run_code(code, Limits(wall_s=1.5, cpu_s=60), str(notes))

    assert caught.value.reason == Reason.TOOK_TOO_LONG
    assert time.monotonic() - started < 4
    assert all(is_gone(int(pid)) for pid in notes.read_text().split())


def test_a_child_that_outlives_a_finished_tool_is_killed(tmp_path):
    notes = tmp_path / "pid"
    code = "import subprocess, sys; open(sys.argv[1], 'w').write(str(subprocess.Popen(['/bin/sleep', '300']).pid))"

    run_code(code, AMPLE, str(notes))

    assert is_gone(int(notes.read_text()))


def test_a_tool_dies_with_its_worker(tmp_path):
    notes = tmp_path / "pid"
    tool = "import os, sys, time; open(sys.argv[1], 'w').write(str(os.getpid())); time.sleep(300)"
    worker = (
        "import sys\n"
        "from submissions.domain.media import sandbox\n"
        f"sandbox.run([sys.executable, '-c', {tool!r}, sys.argv[1]], sandbox.Limits(wall_s=300, cpu_s=300))"
    )
    process = subprocess.Popen([sys.executable, "-c", worker, str(notes)], cwd=ROOT)
    try:
        until = time.monotonic() + 15
        while not (notes.exists() and notes.read_text()) and time.monotonic() < until:
            time.sleep(0.05)
    finally:
        process.send_signal(signal.SIGKILL)
        process.wait()

    assert is_gone(int(notes.read_text()))


def test_too_much_computing_is_stopped():
    with pytest.raises(BadClip) as caught:
        run_code("while True: pass", Limits(wall_s=30, cpu_s=1))

    assert caught.value.reason == Reason.TOOK_TOO_LONG


def test_too_much_output_is_stopped(tmp_path):
    with pytest.raises(BadClip) as caught:
        sandbox.run(
            ["/bin/dd", "if=/dev/zero", f"of={tmp_path / 'flood'}", "bs=1M"],
            Limits(wall_s=20, cpu_s=20, file_bytes=5 * 1024**2),
        )

    assert caught.value.reason == Reason.TOO_MUCH_DATA


def test_too_much_memory_is_refused():
    finished = run_code("bytearray(600 * 1024**2)", Limits(wall_s=20, cpu_s=20, memory_bytes=400 * 1024**2))

    assert b"MemoryError" in finished.stderr


def test_a_stop_from_outside_is_not_the_clips_fault():
    with pytest.raises(ToolFailed):
        sandbox.run(["/bin/sh", "-c", "kill -KILL $$"], AMPLE)


def test_a_full_disk_is_not_the_clips_fault():
    with pytest.raises(ToolFailed):
        sandbox.run(["/bin/sh", "-c", "echo 'out.mp4: No space left on device' >&2; exit 1"], AMPLE)


def test_nothing_of_our_environment_is_handed_over(monkeypatch):
    monkeypatch.setenv("PURLIN_SECRET_KEY", "do-not-tell")

    finished = sandbox.run(["/usr/bin/env"], AMPLE)

    assert sorted(finished.stdout.split()) == [b"LC_ALL=C.UTF-8", b"PATH=/usr/bin:/bin"]


def test_open_files_are_not_handed_over(tmp_path):
    with (tmp_path / "ours").open("w") as ours:
        os.set_inheritable(ours.fileno(), True)
        finished = sandbox.run(["/bin/ls", "-l", "/proc/self/fd"], AMPLE)

    assert b"ours" not in finished.stdout


def test_limits_reach_the_tool():
    finished = sandbox.run(["/bin/sh", "-c", "ulimit -n; ulimit -c; nice"], AMPLE)

    assert finished.stdout.split() == [b"64", b"0", str(min(19, os.nice(0) + 10)).encode()]


@pytest.mark.skipif(not NETWORK_CAN_BE_LEFT, reason="this kernel or container allows no network namespace")
def test_the_network_is_out_of_reach():
    with socket.create_server(("127.0.0.1", 0)) as server:
        code = f"import socket; socket.create_connection(('127.0.0.1', {server.getsockname()[1]}), 2)"
        finished = run_code(code)

    assert b"Network is unreachable" in finished.stderr
