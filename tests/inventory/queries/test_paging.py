"""The address of a page of a list: read back as written, and refused when this list never gave it."""

from datetime import UTC, datetime

import pytest

from inventory.queries import paging

MOMENT = datetime(2026, 5, 4, 9, 30, 0, 123456, tzinfo=UTC)


def test_address_is_read_back_as_written():
    assert paging.read(paging.write(MOMENT, pk=17)) == (MOMENT, 17)


@pytest.mark.parametrize(
    "address",
    [
        "17",
        "2026-05-04_17",
        "2026-05-04T09:30:00_17",
        "2026-05-04T09:30:00+00:00_",
        "2026-05-04T09:30:00+00:00_x",
        "2026-05-04T09:30:00+00:00_" + "9" * 5_000,
        # Moments that have no place in another time zone's calendar.
        "0001-01-01T00:00:00+14:00_1",
        "9999-12-31T23:59:59-14:00_1",
    ],
)
def test_address_that_no_list_gave_is_refused(address):
    with pytest.raises(paging.BadCursor):
        paging.read(address)
