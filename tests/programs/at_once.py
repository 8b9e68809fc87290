"""Two people who do the same at the same moment, each on a connection of their own."""

import threading

from django.db import connections


def at_once(*acts):
    """What came of each act: its result, or the error it was told."""
    start, results = threading.Barrier(len(acts)), []

    def do(act):
        start.wait()
        try:
            results.append(act())
        except Exception as told:
            results.append(told)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=do, args=[act]) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results
