import pytest

from inventory.models import CuttingNeed, CuttingPlan
from inventory.queries.cutting.needs import MarksNeeded, NoBill
from inventory.services.cutting import asking, settings
from inventory.services.cutting.settings import SettingsAct
from projects.errors import KeyReused, NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import cutting as made
from tests.factories import estimates
from tests.factories.cast import NOW

pytestmark = pytest.mark.django_db

LONG = [
    {
        "mark": "S1",
        "member": "slab",
        "size_mm": 10,
        "shape": "straight",
        "dimensions": {"A": 12_500},
        "per_member": 2,
    },
    {
        "mark": "S2",
        "member": "slab",
        "size_mm": 10,
        "shape": "straight",
        "dimensions": {"A": 2_000},
        "per_member": 2,
    },
    {
        "mark": "S3",
        "member": "slab",
        "size_mm": 16,
        "shape": "straight",
        "dimensions": {"A": 13_000},
        "per_member": 1,
    },
]


@pytest.fixture
def at():
    return made.shop()


def test_pieces_of_the_issued_bill_are_asked_for_by_mark(at):
    plan = made.ask(at)

    found = [(n.mark, n.material.code, n.length_mm, n.count) for n in plan.needs.order_by("position")]
    assert found[0] == ("S1", "steel-10", 2_960, 27)
    assert found[1][:2] == ("B1-1", "steel-16")
    assert found[1][3] == 3
    assert plan.state == CuttingPlan.State.ASKED
    assert plan.number == "CP-2026-0001"
    assert Outbox.objects.get(job=asking.JOB).payload == {"firm_id": at.cast.firm.pk, "plan_id": plan.pk}


def test_stock_at_hand_is_frozen_offcuts_first(at):
    made.receive(at, "steel-10", bars=5)
    made.offcuts(at, "steel-10", length=6_100, number=2)

    size = made.ask(at).inputs["sizes"][0]

    assert size["stocks"] == [
        {"origin": "offcut", "length_mm": 6_100, "available": 2},
        {"origin": "bar", "length_mm": 12_000, "available": 5},
        {"origin": "buy", "length_mm": 12_000},
    ]


def test_same_inputs_are_the_same_plan(at):
    first = made.ask(at)

    assert made.ask(at) == first
    assert made.ask(at, settings=SettingsAct(seconds=3)) != first
    assert Outbox.objects.filter(job=asking.JOB).count() == 2


def test_every_piece_longer_than_any_bar_is_named_by_mark():
    at = made.shop(bars=LONG)

    with pytest.raises(asking.TooLong) as refused:
        made.ask(at)

    assert [(fault.path, fault.code) for fault in refused.value.faults] == [
        ("S1", "piece_too_long"),
        ("S3", "piece_too_long"),
    ]
    assert "S1 of Porch roof, 12500 mm of 10 mm (longest bar 12000 mm)" in refused.value.message
    assert not CuttingPlan.objects.exists()


def test_a_longer_bar_in_store_takes_a_long_piece():
    at = made.shop(bars=LONG[:2])
    made.receive(at, "steel-10", bars=2, length=14_000)

    assert made.worked_out(made.ask(at)).state == CuttingPlan.State.PROPOSED


def test_marks_can_be_chosen(at):
    plan = made.ask(at, marks=("S1",))

    assert [need.mark for need in plan.needs.all()] == ["S1"]


def test_unknown_mark_is_refused(at):
    with pytest.raises(asking.NothingToCut) as refused:
        made.ask(at, marks=("S1", "S9"))

    assert refused.value.params["marks"] == ["S9"]


def test_part_of_a_slab_asks_for_its_marks(at):
    part = at.pour
    type(part).objects.filter(pk=part.pk).update(share_ppm=500_000)

    with pytest.raises(MarksNeeded):
        made.ask(at, slab_ids=(), pour_ids=(part.pk,))
    assert made.ask(at, slab_ids=(), pour_ids=(part.pk,), marks=("S1",)).needs.count() == 1


def test_slab_without_a_bill_is_refused(at):
    bare = estimates.slab(at.cast.alice, site=at.cast.site, name="Bare")

    with pytest.raises(NoBill):
        made.ask(at, slab_ids=(bare.pk,))


def test_a_site_means_its_slabs_that_are_still_to_be_poured(at):
    other = estimates.billed_slab(at.cast.alice, site=at.cast.site, name="Second roof")

    plan = made.ask(at, slab_ids=(), site_ids=(at.cast.site.pk,))

    assert {need.slab for need in plan.needs.all()} == {at.slab, other.design.slab}


def test_a_slab_that_is_poured_is_left_out_of_its_site(at):
    type(at.pour).objects.filter(pk=at.pour.pk).update(state="poured", poured_at=NOW)

    with pytest.raises(asking.NothingToCut):
        made.ask(at, slab_ids=(), site_ids=(at.cast.site.pk,))


def test_several_sites_are_planned_together(at):
    far = estimates.billed_slab(at.cast.alice, site=at.cast.other_site, name="Far roof")

    plan = made.ask(at, site_ids=(at.cast.other_site.pk,))

    assert CuttingNeed.objects.filter(plan=plan, slab=far.design.slab).exists()
    # both slabs' pieces of a size are cut as one
    assert len(plan.inputs["sizes"]) == 2


def test_bars_of_another_site_are_left_there_but_aged_offcuts_are_offered(at):
    made.receive(at, "steel-10", bars=5, site=at.cast.other_site)
    made.offcuts(at, "steel-10", length=6_100, site=at.cast.other_site)
    made.offcuts(at, "steel-10", length=6_200, site=at.cast.other_site, now=NOW.replace(month=3))

    stocks = made.ask(at).inputs["sizes"][0]["stocks"]

    assert [(one["origin"], one["length_mm"]) for one in stocks] == [("offcut", 6_200), ("buy", 12_000)]


def test_nothing_may_be_bought(at):
    made.receive(at, "steel-10", bars=1)
    plan = made.worked_out(made.ask(at, marks=("S1",), buy_lengths_mm=()))

    assert plan.state == CuttingPlan.State.FAILED
    assert "the stock does not suffice" in plan.error


@pytest.mark.parametrize("lengths", [(0,), (-1,), (18_001,), tuple(range(5_000, 5_013))])
def test_bad_lengths_are_refused(at, lengths):
    with pytest.raises(asking.BadLengths):
        made.ask(at, buy_lengths_mm=lengths)


@pytest.mark.parametrize(
    "change",
    [{"blade_mm": 21}, {"blade_mm": -1}, {"shortest_offcut_mm": 0}, {"seconds": 0}, {"most_patterns": -1}],
)
def test_settings_out_of_bounds_are_refused(at, change):
    with pytest.raises(settings.BadSetting) as refused:
        made.ask(at, settings=SettingsAct(**change))

    assert refused.value.field == next(iter(change))


def test_the_firms_own_figures_hold(at):
    act = SettingsAct(blade_mm=0, shortest_offcut_mm=800)
    settings.change(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    found = settings.of_firm(at.cast.alice)

    assert (found.blade_mm, found.shortest_offcut_mm, found.offered_after_days) == (0, 800, 30)


def test_stranger_and_owner_plan_nothing(at):
    with pytest.raises(NotFound):
        made.ask(at, by=at.cast.charlie)
    with pytest.raises(NotAllowed):
        made.ask(at, by=at.cast.olga)


def test_key_sent_again_gives_the_first_plan(at):
    act = asking.AskAct(site_id=at.cast.site.pk, slab_ids=(at.slab.pk,))
    first = asking.ask(actor=at.cast.alice, act=act, key="again", now=NOW)

    assert asking.ask(actor=at.cast.alice, act=act, key="again", now=NOW) == first
    with pytest.raises(KeyReused):
        asking.ask(actor=at.cast.alice, act=asking.AskAct(site_id=at.cast.site.pk), key="again", now=NOW)
