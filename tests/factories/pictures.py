"""Pictures and papers as phones and offices send them, and what only looks like them."""

from __future__ import annotations

import io
import struct
import zlib

from PIL import Image

PLACE_TAG, ORIENTATION_TAG = 0x8825, 0x0112
HELD_UPRIGHT = 6
"""EXIF orientation of a picture whose camera was turned by 90 degrees."""


def picture(*, size: tuple[int, int] = (48, 32), kind: str = "JPEG", mode: str = "RGB", **more) -> bytes:
    """A picture with a dark left half, so that its sides can be told apart."""
    image = Image.new(mode, size, "white")
    image.paste("black", (0, 0, size[0] // 2, size[1]))
    written = io.BytesIO()
    image.save(written, format=kind, **more)
    return written.getvalue()


def from_phone() -> bytes:
    """A JPEG that carries a place and was taken with the phone turned."""
    exif = Image.Exif()
    exif[ORIENTATION_TAG] = HELD_UPRIGHT
    place = exif.get_ifd(PLACE_TAG)
    place[1], place[2] = "N", (12.0, 58.0, 20.0)
    return picture(exif=exif)


def png(**more) -> bytes:
    """A small PNG."""
    return picture(kind="PNG", **more)


def bomb(*, side: int = 30_000) -> bytes:
    """A PNG of a few hundred bytes whose head says that it has 900 million pixels."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(1_000))), (b"IEND", b""))
    )


def pdf() -> bytes:
    """An empty PDF with head and end."""
    return (
        b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj\nxref\n0 1\ntrailer<</Root 1 0 R>>\nstartxref\n41\n%%EOF\n"
    )
