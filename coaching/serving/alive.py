"""Ends with 0 while the web process on this machine answers. Run by path: without Django it is quick and small.

python coaching/serving/alive.py [PORT]
"""

import os
import sys
import urllib.request
from urllib.parse import urlsplit


def main(port: int = 8000) -> None:
    # The one host name that is always answered: a process is refused whose hosts do not name its own address.
    host = urlsplit(os.environ.get("PURLIN_SITE_URL", "")).hostname or "localhost"
    asked = urllib.request.Request(f"http://127.0.0.1:{port}/livez", headers={"Host": host})
    # The machine's proxy is for others.
    urllib.request.build_opener(urllib.request.ProxyHandler({})).open(asked, timeout=4)


if __name__ == "__main__":
    try:
        main(*map(int, sys.argv[1:]))
    except OSError as error:
        sys.exit(f"The web process does not answer ({type(error).__name__}).")
