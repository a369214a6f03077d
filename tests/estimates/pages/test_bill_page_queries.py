"""The page of a bill asks as many queries for 60 bar marks as for one, and fewer than 20."""

import pytest

from tests.factories import estimates as make
from tests.factories import looking
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

MOST = 20


def test_bill_page_stays_under_its_queries_whatever_its_length():
    team = cast()
    make.with_rates(team.alice)
    client = looking.signed_in("alice")
    asked, lengths = set(), []
    for number, marks in enumerate((1, 60)):
        slab = make.slab(team.alice, site=team.site, name=f"Roof {number}")
        bars = [make.SHEET["bars"][0] | {"mark": f"S{mark}"} for mark in range(marks)]
        bill = make.bill(team.alice, of=make.design(team.alice, on=slab, bars=bars))
        lengths.append(bill.lines.count())
        asked.add(looking.queries(lambda pk=bill.pk: client.get(f"/bills/{pk}/")))
    assert lengths[1] == lengths[0] + 59
    assert len(asked) == 1
    assert asked.pop() < MOST
