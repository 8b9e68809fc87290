"""gunicorn reads this by itself where it is started, however it is started."""

import os

from gunicorn.arbiter import Arbiter

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.production")
logger_class = "coaching.serving.loggers.GunicornLogger"
# Read-only machines: its socket for commands would lie in the home folder.
control_socket_disable = True


def on_starting(server: Arbiter) -> None:
    from coaching.serving import gate  # noqa: PLC0415 -- once logging is set up

    for address in server.cfg.address:
        if isinstance(address, tuple):
            gate.check_address(address[0])
