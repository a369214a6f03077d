"""Photos and papers as they are sent: what they are is proven by their content, and photos are made anew."""

from __future__ import annotations

import hashlib
import io
import re
import warnings
from dataclasses import dataclass

from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

from projects.errors import Refused

MOST_BYTES = 12_000_000
"""Largest file that is taken; a phone's photo has 2 to 8 MB."""

MOST_PIXELS = 60_000_000
"""Most pixels of a photo: a bigger one is refused before it is unpacked, however small its file is."""

LONGEST_SIDE = 2_000
"""Pixels of the longer side of a kept photo: a delivery note filling the picture is read at that."""

QUALITY = 80
FORMATS = ("JPEG", "PNG", "WEBP")
PHOTO_TYPE, PAPER_TYPE = "image/jpeg", "application/pdf"

_PDF_HEAD = re.compile(rb"%PDF-[12]\.\d")


class EmptyFile(Refused):
    """A file without content, or no file at all."""

    code = "no_file"


class FileTooLarge(Refused):
    """A file of more bytes than is taken."""

    code = "file_too_large"


class TooManyPixels(Refused):
    """A photo of more pixels than is unpacked."""

    code = "too_many_pixels"


class NotAPhoto(Refused):
    """The content is neither a photo nor a paper that is taken, whatever the name says."""

    code = "not_a_photo"


@dataclass(frozen=True)
class Ready:
    """A file as it will be kept."""

    content: bytes
    content_type: str
    sent_digest: str
    width_px: int | None = None
    height_px: int | None = None


def ready(content: bytes, *, field: str = "files", papers: bool = True) -> Ready:
    """Prove what a file is and return it as it will be kept.

    A photo (JPEG, PNG, WebP) is unpacked, turned upright, made at most 2,000 pixels long and written as a new
    JPEG, so that nothing of the file as sent is left in it: no place, no device, no hidden part. A paper
    (PDF) stays as it is. Refused are an empty file (`no_file`), one that is too large (`file_too_large`,
    `too_many_pixels`), and one that is neither, or damaged (`not_a_photo`).
    """
    if not content:
        raise EmptyFile(_("No file came with it. Take a photo or choose a file."), field=field)
    if len(content) > MOST_BYTES:
        message = _(
            "The file is larger than %(most)s MB. Take the photo at a smaller size and send it again."
        )
        most = MOST_BYTES // 1_000_000
        raise FileTooLarge(message % {"most": most}, field=field, most_bytes=MOST_BYTES)
    sent_digest = hashlib.sha256(content).hexdigest()
    if _PDF_HEAD.match(content) is not None:
        if not papers:
            raise NotAPhoto(_("This is a PDF. Send a photo: JPEG, PNG or WebP."), field=field)
        _require_whole_pdf(content, field=field)
        return Ready(content, PAPER_TYPE, sent_digest)
    image = _photo(content, field=field)
    return Ready(_jpeg(image), PHOTO_TYPE, sent_digest, image.width, image.height)


def _require_whole_pdf(content: bytes, *, field: str) -> None:
    end = content[-2_048:]
    if b"startxref" not in end or b"%%EOF" not in end:
        message = _("The PDF is cut off: its end is missing. Send it again, or send a photo of it.")
        raise NotAPhoto(message, field=field)


def _photo(content: bytes, *, field: str) -> Image.Image:
    """Unpack a photo with its size known first; a damaged one is refused like one that never was a photo."""
    with warnings.catch_warnings():
        # Our own bound is the tighter one, and refuses in words.
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
                _require_pixels(opened, field=field)
                opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
                opened.load()
                return _upright(opened)
        except Image.DecompressionBombError as fault:
            raise _too_many(None, field=field) from fault
        except UnidentifiedImageError as fault:
            message = _("This is no photo that can be read. Send a JPEG, PNG or WebP picture, or a PDF.")
            raise NotAPhoto(message, field=field) from fault
        except (OSError, SyntaxError, ValueError, EOFError) as fault:
            message = _("The photo is damaged and cannot be unpacked. Take it again, or send it again.")
            raise NotAPhoto(message, field=field) from fault


def _require_pixels(image: Image.Image, *, field: str) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise _too_many(image, field=field)


def _too_many(image: Image.Image | None, *, field: str) -> TooManyPixels:
    size = f"{image.width} × {image.height}" if image else "?"
    message = _("The photo has %(size)s pixels; at most %(most)s million are unpacked. Send a smaller one.")
    params = {"size": size, "most": MOST_PIXELS // 1_000_000}
    return TooManyPixels(message % params, field=field, most_pixels=MOST_PIXELS)


def _upright(image: Image.Image) -> Image.Image:
    """Turn a photo as its camera was held, on white where it is clear, and no larger than is kept."""
    turned = ImageOps.exif_transpose(image)
    turned.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    if turned.mode in {"RGBA", "LA", "PA"} or "transparency" in turned.info:
        clear = turned.convert("RGBA")
        paper = Image.new("RGB", clear.size, "white")
        paper.paste(clear, mask=clear.getchannel("A"))
        return paper
    plain = Image.new("RGB", turned.size)
    plain.paste(turned.convert("RGB"))
    return plain


def _jpeg(image: Image.Image) -> bytes:
    """Write the pixels alone; a new image carries no information of the old one."""
    written = io.BytesIO()
    image.save(written, format="JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()
