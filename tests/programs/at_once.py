"""Two people who do the same at the same moment, each on a connection of their own."""

import contextlib
import threading

from django.db import OperationalError, connections


def at_once(*acts):
    """What came of each act: its result, or the error it was told."""
    start, results = threading.Barrier(len(acts)), []

    def do(act):
        start.wait()
        while True:
            # A database in memory answers "locked" where a file would wait: people try again, and so does this.
            with contextlib.suppress(OperationalError):
                try:
                    results.append(act())
                except OperationalError:
                    raise
                except Exception as told:
                    results.append(told)
                break
        connections.close_all()

    threads = [threading.Thread(target=do, args=[act]) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results
