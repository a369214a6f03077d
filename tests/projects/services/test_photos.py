"""What a file is, is proven by its content; the facts of EXIF are read back with Pillow itself."""

import io

import pytest
from PIL import Image

from projects.services import photos
from tests.factories import pictures


def opened(content):
    return Image.open(io.BytesIO(content))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_picture_becomes_a_jpeg_of_its_size(kind):
    made = photos.ready(pictures.picture(kind=kind))

    assert (made.content_type, made.width_px, made.height_px) == ("image/jpeg", 48, 32)
    assert (opened(made.content).format, opened(made.content).size) == ("JPEG", (48, 32))


def test_place_and_device_are_taken_out_and_the_picture_stands_upright():
    sent = pictures.from_phone()
    assert opened(sent).getexif().get_ifd(pictures.PLACE_TAG)

    made = opened(photos.ready(sent).content)

    assert not made.getexif()
    assert "exif" not in made.info
    # Turned by 90 degrees: 48 × 32 stands 32 × 48, and the dark left half lies on top.
    assert made.size == (32, 48)
    assert made.getpixel((16, 2)) < (60, 60, 60) < (200, 200, 200) < made.getpixel((16, 45))


def test_comment_and_hidden_tail_are_gone():
    sent = pictures.picture(comment=b"gate code 4711") + b"<script>alert(1)</script>"

    made = photos.ready(sent).content

    assert b"4711" not in made
    assert b"script" not in made


def test_large_picture_is_made_smaller():
    made = photos.ready(pictures.picture(size=(5_000, 2_500)))

    assert (made.width_px, made.height_px) == (2_000, 1_000)


def test_clear_parts_become_white():
    clear = Image.new("RGBA", (8, 8), (0, 0, 0, 0))
    written = io.BytesIO()
    clear.save(written, format="PNG")

    made = opened(photos.ready(written.getvalue()).content)

    assert made.getpixel((4, 4)) == (255, 255, 255)


def test_pdf_stays_as_it_is():
    made = photos.ready(pictures.pdf())

    assert (made.content, made.content_type) == (pictures.pdf(), "application/pdf")


REFUSED = [
    (b"", photos.EmptyFile),
    (b"x" * (photos.MOST_BYTES + 1), photos.FileTooLarge),
    (b"MZ\x90 a program called photo.jpg", photos.NotAPhoto),
    (b"GIF89a" + b"\0" * 40, photos.NotAPhoto),
    (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", photos.NotAPhoto),
    (pictures.picture(size=(640, 480), kind="PNG")[:-400], photos.NotAPhoto),
    (pictures.pdf()[:-20], photos.NotAPhoto),
    (b"<html>" + pictures.pdf(), photos.NotAPhoto),
    (pictures.bomb(), photos.TooManyPixels),
    (pictures.bomb(side=8_000), photos.TooManyPixels),
]


@pytest.mark.parametrize(("content", "refused"), REFUSED)
def test_what_is_no_photo_is_refused_in_words(content, refused):
    with pytest.raises(refused) as fault:
        photos.ready(content)

    assert fault.value.field == "files"


def test_pdf_is_no_photo_where_only_photos_are_taken():
    with pytest.raises(photos.NotAPhoto):
        photos.ready(pictures.pdf(), papers=False)
