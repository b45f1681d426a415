"""A PNG or JPEG file looked at from outside: what it says it is, how large, and whether it is whole."""

import warnings
import zlib
from collections.abc import Mapping
from io import BytesIO
from typing import Any

PNG, JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
LARGEST = 4000  # dots along a side
LIBRARY = {"png": "PNG", "jpg": "JPEG"}  # names of the library that draws anew
WRITTEN: Mapping[str, Mapping[str, Any]] = {"png": {"optimize": True}, "jpg": {"quality": 92, "optimize": True}}
CHUNK = 12  # bytes of a PNG's chunk beside what it holds
SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}  # JPEG segments that tell height and width
KIND = "a PNG or JPEG picture"
BROKEN = "a PNG or JPEG picture that is whole: this one cannot be opened"


def picture_trouble(data: bytes) -> tuple[str, str]:
    """The kind of a picture, and what to write instead; the second is empty where it can be drawn."""
    if data.startswith(PNG):
        return "png", _trouble(png_size(data))
    if data.startswith(JPEG):
        return "jpg", _trouble(jpeg_size(data))
    return "", KIND


def _trouble(size: tuple[int, int] | None) -> str:
    """What is wrong with a picture of such a size."""
    if size is None:
        return BROKEN
    if not all(1 <= each <= LARGEST for each in size):
        return f"a picture of at most {LARGEST} dots along a side"
    return ""


def redrawn(data: bytes, form: str) -> bytes:
    """The picture drawn anew by a general library: its dots alone, without what else the file holds; empty where it
    cannot be opened. Only a picture of a size that was looked at before comes here."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    with warnings.catch_warnings():
        warnings.simplefilter("error")  # a picture that unpacks to too much is told by a warning first
        try:
            with Image.open(BytesIO(data), formats=(LIBRARY[form],)) as opened:
                opened.load()
                upright = ImageOps.exif_transpose(opened)
                colours = (
                    "RGBA"
                    if form == "png" and (opened.mode in ("RGBA", "LA", "PA") or "transparency" in opened.info)
                    else "RGB"
                )
                plain = upright.convert(colours)
        except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Warning, Image.DecompressionBombError):
            return b""
    stream = BytesIO()
    plain.info.clear()
    plain.save(stream, LIBRARY[form], **WRITTEN[form])
    return stream.getvalue()


def png_size(data: bytes) -> tuple[int, int] | None:
    """Width and height; None where a chunk is cut off or its checksum is wrong."""
    at, size = len(PNG), None
    while at + CHUNK <= len(data):
        length, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        end = at + 8 + length
        if end + 4 > len(data) or zlib.crc32(data[at + 4 : end]) != int.from_bytes(data[end : end + 4], "big"):
            return None
        if name == b"IHDR":
            size = int.from_bytes(data[at + 8 : at + 12], "big"), int.from_bytes(data[at + 12 : at + 16], "big")
        if name == b"IEND":
            return size
        at = end + 4
    return None


def jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Width and height out of the first frame; None where there is none or the end is missing."""
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        kind, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if kind in SIZES and data.rstrip(b"\x00").endswith(b"\xff\xd9"):
            return int.from_bytes(data[at + 7 : at + 9], "big"), int.from_bytes(data[at + 5 : at + 7], "big")
        at += 2 + length
    return None
