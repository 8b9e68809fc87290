"""Where clips lie: in a folder, or in the S3-compatible storage that PURLIN_S3_* names. Every shape reads it here."""

import os
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

FOLDER = {"BACKEND": "submissions.domain.storage.folder.FolderStorage"}
S3 = "submissions.domain.storage.s3.S3Storage"
NEEDED = ["PURLIN_S3_BUCKET", "PURLIN_S3_KEY", "PURLIN_S3_SECRET"]
OPTIONAL = ["PURLIN_S3_ENDPOINT", "PURLIN_S3_REGION", "PURLIN_S3_PREFIX"]


def clip_storage(given: Mapping[str, str] = os.environ, *, below: str = "") -> dict[str, Any]:
    """The entry "default" of STORAGES. `below` keeps the demo and the tests apart from what is real.

    One variable is enough for S3: half a configuration must fail, and not put clips where no other machine sees them.
    """
    said = _said(given)
    if not said:
        return FOLDER
    prefix = "/".join(part.strip("/") for part in (said.get("PURLIN_S3_PREFIX", ""), below) if part.strip("/"))
    options = {
        "bucket_name": said.get("PURLIN_S3_BUCKET", ""),
        "access_key": said.get("PURLIN_S3_KEY", ""),
        "secret_key": said.get("PURLIN_S3_SECRET", ""),
        "endpoint_url": said.get("PURLIN_S3_ENDPOINT"),
        # Servers that know no regions take this one.
        "region_name": said.get("PURLIN_S3_REGION", "us-east-1"),
        "location": prefix,
    }
    return {"BACKEND": S3, "OPTIONS": options}


def storage_problems(given: Mapping[str, str] = os.environ) -> list[str]:
    """What is wrong with PURLIN_S3_*, each in one sentence with what to do; nothing when none is set."""
    said = _said(given)
    missing = [name for name in NEEDED if name not in said]
    problems = []
    if said and missing:
        problems.append(
            f"{_list(list(said))} is set without {_list(missing)}: set what is missing, "
            "or leave every PURLIN_S3_* out to keep clips in a folder."
        )
    if not _is_address(said.get("PURLIN_S3_ENDPOINT", "https://left.out")):
        problems.append("PURLIN_S3_ENDPOINT must be an address without a path, such as https://storage.example:9000.")
    return problems


def _is_address(text: str) -> bool:
    try:
        parts = urlsplit(text)
        parts.port  # noqa: B018 -- raises for what is no number
    except ValueError:
        return False
    bare = not (parts.path.strip("/") or parts.query or parts.fragment or parts.username)
    return parts.scheme in ("http", "https") and bool(parts.hostname) and bare


def _said(given: Mapping[str, str]) -> dict[str, str]:
    """What is set. Compose files pass on what is empty."""
    return {name: given[name].strip() for name in [*NEEDED, *OPTIONAL] if given.get(name, "").strip()}


def _list(names: list[str]) -> str:
    return ", ".join(names[:-1]) + (" and " if names[1:] else "") + names[-1]
