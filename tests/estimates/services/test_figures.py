"""A firm's own figures: limits only tighter, dated, with a reason; past bills stay as they were."""

import pytest

from estimates.models import FirmFigure
from estimates.queries import findings, standards, takeoffs
from estimates.services import bills, figures
from estimates.services.bills import BillAct
from estimates.services.figures import BadFigure, FigureAct, LimitLoosened
from estimates.standards import load
from projects.errors import NotAllowed, NotFound
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

REASON = "soft sand here, A. Engineer, 2 May"


def put(actor, key, value, *, reason=REASON, act_key=None, profile="is"):
    act = FigureAct(profile=profile, key=key, value=value, reason=reason)
    return figures.set_own(actor=actor, act=act, key=act_key or f"{key} {value}", now=NOW)


def test_figure_holds_in_the_place_of_the_profiles():
    team = cast()
    put(team.alice, "curing.days.opc", 9)
    mine = standards.of_firm(team.alice, profile_id="is")

    assert mine.number("curing.days.opc") == 9
    assert mine.value("curing.days.opc").citation == (
        f"our figure of {NOW.date().isoformat()}, Alice: {REASON}; "
        "in place of 7 day, is-456-2000, cl. 13.5.1 (secondary)"
    )
    assert mine.digest != load.profile("is").digest
    assert load.profile("is").number("curing.days.opc") == 7
    assert standards.of_firm(team.charlie, profile_id="is").number("curing.days.opc") == 7
    assert standards.of_firm(team.alice, profile_id="en").digest == load.profile("en").digest


def test_latest_figure_holds_and_none_is_the_profiles_own_again():
    team = cast()
    for value in (9, 12, None):
        put(team.alice, "curing.days.opc", value)
    assert standards.of_firm(team.alice, profile_id="is").digest == load.profile("is").digest
    kept = standards.history(team.alice, profile_id="is", key="curing.days.opc")
    assert [row.value for row in kept] == [None, 12, 9]
    assert {(row.replaces, row.unit, row.set_by.name, row.reason) for row in kept} == {
        (7, "day", "Alice", REASON)
    }


# IS 456: curing of 7 days at least, at most 450 kg/m³ of cement, cover of 20 mm at least.
@pytest.mark.parametrize(
    ("key", "looser", "tighter"),
    [
        ("curing.days.opc", 6, 8),
        ("concrete.cement_max", 460, 420),
        ("exposure.mild.cover_min", 15, 25),
        ("exposure.mild.water_cement_max", 0.6, 0.5),
        ("permitted.cement", 5, 2),
        ("placing.temperature.max", 41, 38),
        ("placing.air.cold", 4, 8),
    ],
)
def test_limit_may_only_be_tightened(key, looser, tighter):
    team = cast()
    with pytest.raises(LimitLoosened) as refused:
        put(team.alice, key, looser)
    assert refused.value.field == "value"
    assert not FirmFigure.objects.exists()
    assert put(team.alice, key, tighter).value == tighter


@pytest.mark.parametrize("value", [40.0, 60.0])
def test_figure_that_is_no_limit_may_go_either_way(value):
    team = cast()
    assert put(team.alice, "pack.cement.bag", value).value == value


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0, 1e12, 0.12345678])
def test_figure_out_of_reason(value):
    with pytest.raises(BadFigure):
        put(cast().alice, "pack.cement.bag", value)


def test_figure_needs_a_reason():
    with pytest.raises(BadFigure) as refused:
        put(cast().alice, "curing.days.opc", 9, reason="  because  ")
    assert refused.value.field == "reason"


@pytest.mark.parametrize(("profile", "key"), [("is", "no.such"), ("din", "curing.days.opc")])
def test_value_that_is_not_there(profile, key):
    with pytest.raises(NotFound):
        put(cast().alice, key, 9, profile=profile)


def test_name_of_a_class_cannot_be_changed():
    with pytest.raises(LimitLoosened):
        put(cast().alice, "concrete.cube_of.30", 37, profile="en")


@pytest.mark.parametrize("who", ["bob", "olga"])
def test_only_the_office_sets_figures(who):
    with pytest.raises(NotAllowed):
        put(getattr(cast(), who), "curing.days.opc", 9)


def test_same_key_sets_it_once():
    team = cast()
    first = put(team.alice, "curing.days.opc", 9, act_key="k")
    assert put(team.alice, "curing.days.opc", 9, act_key="k") == first
    assert FirmFigure.objects.count() == 1


def test_figure_acts_in_lines_findings_and_bill_and_leaves_earlier_bills_alone():
    team = cast()
    make.with_rates(team.alice)
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))
    act = BillAct(design_id=design.pk, as_of=make.TODAY, reason="A. Engineer: it may be issued, 2 May.")
    before = bills.issue(actor=team.alice, act=act, key="before", now=NOW)
    frozen = [line.derivation for line in before.lines.all()]
    put(team.alice, "binding_wire.per_tonne", 12)
    put(team.alice, "exposure.moderate.cover_min", 40)
    put(team.alice, "exposure.mild.cover_min", 40)

    priced = takeoffs.priced(team.alice, design_id=design.pk, as_of=make.TODAY)
    wire = next(row.line for row in priced.lines if row.line.material == "binding-wire")
    assert any("our figure of" in item.source for item in wire.inputs.values())
    found = findings.of_sheet(priced.sheet, profile=priced.profile)
    cover = [row for row in found if row.code == "exposure.slab_cover"]
    assert [(row.limit, row.source.startswith("our figure of")) for row in cover] == [(40, True)]

    after = bills.issue(actor=team.alice, act=act, key="after", now=NOW)
    assert [row["key"] for row in after.figures] == [
        "binding_wire.per_tonne",
        "exposure.mild.cover_min",
        "exposure.moderate.cover_min",
    ]
    assert after.standards_digest != before.standards_digest
    before.refresh_from_db()
    assert (before.figures, [line.derivation for line in before.lines.all()]) == ([], frozen)
