"""Photos people add: read by a library, written anew without what the camera told about place and device."""

import io
import uuid

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from PIL import Image, ImageOps, UnidentifiedImageError

from clients.errors import NotAPhoto

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 1600
READ = ("JPEG", "PNG", "WEBP")


def keep_photo(file: UploadedFile, *, folder: str) -> str:
    """Store a photo as a plain JPEG under a name nobody can guess. Returns the storage name. Raises NotAPhoto."""
    if file.size is None or file.size > MOST_BYTES:
        raise NotAPhoto
    return default_storage.save(f"{folder}/{uuid.uuid4().hex}.jpg", ContentFile(_written_anew(file)))


def _written_anew(file: UploadedFile) -> bytes:
    try:
        with Image.open(file, formats=READ) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise NotAPhoto
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise NotAPhoto from error
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    # A new picture: whatever else the file held stays behind.
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=82)
    return written.getvalue()
