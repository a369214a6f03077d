"""The pages of designs, bills, rates and materials: who gets which answer, and what they show."""

import csv
import io
import json
import uuid
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from estimates.models import Bill, Design, Material, Rate
from projects.models import Person
from tests.factories import estimates as make
from tests.factories.cast import TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


@pytest.fixture
def bill(team):
    found = make.billed_slab(team.alice, site=team.site)
    make.pour(team.alice, on=found.design.slab, day=date(2026, 5, 20))
    return found


@pytest.fixture
def signed_in(client):
    def sign_in(username):
        client.force_login(Person.objects.get(username=username))
        return client

    return sign_in


def places(bill):
    slab, design, sand = bill.design.slab_id, bill.design_id, Material.objects.get(code="sand").pk
    return {
        "slabs": "/slabs/",
        "slab": f"/slabs/{slab}/",
        "design_new": f"/slabs/{slab}/design/new/",
        "design_sheet": f"/slabs/{slab}/design/sheet/",
        "design": f"/designs/{design}/",
        "design_file": f"/designs/{design}/sheet/",
        "bill": f"/bills/{bill.pk}/",
        "bill_difference": f"/bills/{bill.pk}/difference/",
        "bill_csv": f"/bills/{bill.pk}/lines.csv",
        "materials": "/materials/",
        "materials_adopt": "/materials/adopt/",
        "pack_new": f"/materials/{sand}/packs/new/",
        "material_timing": f"/materials/{sand}/timing/",
        "rates": "/rates/",
        "material_rates": f"/materials/{sand}/rates/",
        "rate_new": f"/materials/{sand}/rates/new/",
    }


OFFICE_ONLY = {
    "design_new",
    "design_sheet",
    "materials_adopt",
    "pack_new",
    "material_timing",
    "rate_new",
}
MONEY = {"rates", "material_rates"}
FIRM_WIDE = {"slabs", "materials", "materials_adopt", "rates"}


@pytest.mark.parametrize(
    ("username", "refused"), [("alice", set()), ("bob", OFFICE_ONLY | MONEY), ("olga", OFFICE_ONLY)]
)
def test_each_role_gets_its_pages(signed_in, bill, username, refused):
    client = signed_in(username)

    found = {name: client.get(url).status_code for name, url in places(bill).items()}

    assert found == {name: 403 if name in refused else 200 for name in found}


def test_stranger_is_told_not_found(signed_in, bill):
    client = signed_in("charlie")

    found = {name: client.get(url).status_code for name, url in places(bill).items()}

    assert found == {name: 200 if name in FIRM_WIDE else 404 for name in found}
    assert b"Porch roof" not in client.get("/slabs/").content


def test_nobody_signed_in_is_sent_to_sign_in(client, bill):
    for url in places(bill).values():
        answer = client.get(url)
        assert (answer.status_code, answer.url.partition("?")[0]) == (302, "/sign-in/")


def test_site_manager_sees_quantities_and_no_money(signed_in, bill):
    client = signed_in("bob")

    for name in ("slabs", "slab", "design", "bill", "bill_difference", "materials"):
        page = client.get(places(bill)[name]).content.decode()
        assert "₹" not in page, name
    assert "15 bags" in client.get(f"/bills/{bill.pk}/").content.decode().replace("\xa0", " ")
    assert "amount" not in client.get(f"/bills/{bill.pk}/lines.csv").content.decode()


def test_bill_shows_its_total_and_title_block(signed_in, bill):
    page = signed_in("olga").get(f"/bills/{bill.pk}/").content.decode()

    assert f"₹{bill.total_minor / 100:,.2f}" in page
    assert "MY-S-01 rev. A" in page
    assert bill.edition in page


def test_lines_as_csv_carry_exact_figures(signed_in, bill):
    answer = signed_in("alice").get(f"/bills/{bill.pk}/lines.csv")

    rows = {row["key"]: row for row in csv.DictReader(io.StringIO(answer.content.decode()))}
    # 27 bars of 2.96 m, 3 % for loss, in 7 bars of 12 m at 62 a kilogram.
    steel = rows["steel.size.10"]
    assert (steel["net"], steel["allowance"], steel["order"], steel["unit"]) == ("79.92", "2.398", "84", "m")
    assert (steel["packs"], steel["rate"], steel["rate_per"], steel["currency"]) == ("7", "62", "kg", "INR")
    assert rows["concrete.net"]["net"] == "1.776"
    assert rows["concrete.net"]["amount"] == ""


def test_cell_that_a_spreadsheet_would_run_is_defused(signed_in, team):
    bars = [make.SHEET["bars"][0] | {"member": "=HYPERLINK(1)"}]
    slab = make.slab(team.alice, site=team.site)
    bill = make.bill(team.alice, of=make.design(team.alice, on=slab, bars=bars))

    page = signed_in("alice").get(f"/bills/{bill.pk}/lines.csv").content.decode()

    assert "'=HYPERLINK(1)" in page


def test_bill_is_issued_from_the_take_off(signed_in, team):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))
    sent = {"key": uuid.uuid4(), "as_of": TODAY.isoformat(), "reason": ""}

    answer = signed_in("alice").post(f"/designs/{design.pk}/", sent)
    again = signed_in("alice").post(f"/designs/{design.pk}/", sent)

    bill = Bill.objects.get()
    assert (answer.status_code, answer.url) == (302, f"/bills/{bill.pk}/")
    assert again.url == answer.url


def test_refused_bill_keeps_what_was_typed(signed_in, team):
    slab = make.slab(team.alice, site=team.site)
    design = make.design(team.alice, on=slab, exposure="severe")
    sent = {"key": uuid.uuid4(), "as_of": TODAY.isoformat(), "reason": "too short"}

    answer = signed_in("alice").post(f"/designs/{design.pk}/", sent)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "too short</textarea>" in page
    assert "checks say stop" in page
    assert Bill.objects.count() == 0


@pytest.mark.parametrize("as_of", ["", "soon", "2026-13-01"])
def test_bad_day_of_rates_is_refused_at_its_field(signed_in, team, as_of):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    answer = signed_in("alice").post(f"/designs/{design.pk}/", {"key": uuid.uuid4(), "as_of": as_of})

    assert answer.status_code == 422
    assert 'id="id_as_of_error"' in answer.content.decode()


@pytest.mark.parametrize(("username", "status"), [("bob", 403), ("olga", 403), ("charlie", 404)])
def test_others_issue_no_bill(signed_in, bill, username, status):
    sent = {"key": uuid.uuid4(), "as_of": TODAY.isoformat()}

    assert signed_in(username).post(f"/designs/{bill.design_id}/", sent).status_code == status
    assert Bill.objects.count() == 1


def test_missing_rates_lead_to_their_forms(signed_in):
    team = cast()
    sand = make.with_materials(team.alice)["sand"]
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    page = signed_in("alice").get(f"/designs/{design.pk}/").content.decode()

    assert f'href="/materials/{sand.pk}/rates/new/?next=/designs/{design.pk}/"' in page


def test_earlier_design_leads_to_the_latest(signed_in, bill, team):
    later = make.design(team.alice, on=bill.design.slab, thickness_mm=130)

    page = signed_in("alice").get(f"/designs/{bill.design_id}/").content.decode()

    assert f'href="/designs/{later.pk}/"' in page
    assert 'id="issue"' not in page


def test_difference_shows_what_a_revision_changed(signed_in, bill, team):
    later = make.bill(team.alice, of=make.design(team.alice, on=bill.design.slab, thickness_mm=150))
    client = signed_in("alice")

    page = client.get(f"/bills/{later.pk}/difference/").content.decode()

    assert "Concrete, net" in page
    assert f"Changes from bill {bill.number}" in client.get(f"/bills/{later.pk}/").content.decode()
    assert "A later bill has taken the place" in client.get(f"/bills/{bill.pk}/").content.decode()


def test_same_design_billed_again_changes_nothing(signed_in, bill, team):
    again = make.bills.issue(
        actor=team.alice,
        act=make.BillAct(design_id=bill.design_id, as_of=TODAY),
        key="again",
        now=make.NOW,
    )

    assert "Nothing: every line" in signed_in("alice").get(f"/bills/{again.pk}/difference/").content.decode()


def test_rate_is_set_by_form(signed_in, team):
    sand = Material.objects.get(code="sand")
    sent = {
        "key": uuid.uuid4(),
        "from_date": "2026-05-02",
        "per": "unit",
        "basic": "1,850.25",
        "freight": "120",
    }

    answer = signed_in("alice").post(f"/materials/{sand.pk}/rates/new/", sent)

    rate = Rate.objects.get(from_date="2026-05-02")
    assert (answer.status_code, rate.basic, rate.freight, rate.tax) == (302, 1_850_250_000, 120_000_000, 0)


def test_steel_rate_is_asked_by_the_kilogram_first(signed_in, team):
    steel = Material.objects.get(code="steel-16")
    client = signed_in("alice")
    sent = {"key": uuid.uuid4(), "from_date": "2026-05-02", "per": "kg", "basic": "64.5"}

    assert client.post(f"/materials/{steel.pk}/rates/new/", sent).status_code == 302
    assert Rate.objects.get(from_date="2026-05-02").per == "kg"
    assert "₹64.50" in client.get(f"/materials/{steel.pk}/rates/").content.decode()


def test_taken_day_is_refused_with_what_was_typed(signed_in, team):
    sand = Material.objects.get(code="sand")
    sent = {"key": uuid.uuid4(), "from_date": "2026-04-01", "per": "unit", "basic": "77.25"}

    answer = signed_in("alice").post(f"/materials/{sand.pk}/rates/new/", sent)

    assert answer.status_code == 422
    assert 'value="77.25"' in answer.content.decode()


def test_materials_are_taken_over_and_given_packs_and_days(signed_in):
    cast()
    client = signed_in("alice")
    assert "No material yet" in client.get("/materials/").content.decode()

    assert client.post("/materials/adopt/", {"key": uuid.uuid4(), "steel_grade": "Fe500"}).status_code == 302
    cement = Material.objects.get(code="cement")
    pack = {"key": uuid.uuid4(), "name": "small bag", "content": "42.5", "source": "printed on it"}
    assert client.post(f"/materials/{cement.pk}/packs/new/", pack).status_code == 302
    days = {"key": uuid.uuid4(), "lead_days": "2", "shelf_days": ""}
    assert client.post(f"/materials/{cement.pk}/timing/", days).status_code == 302

    cement.refresh_from_db()
    assert cement.packs.get(name="small bag").content == 42_500
    assert (cement.lead_days, cement.shelf_days) == (2, None)
    assert "42.5" in client.get("/materials/").content.decode()


@pytest.mark.parametrize(
    ("start", "shown"), [("", 50), ("50", 1), ("51", 50), ("-1", 50), ("x", 50), ("9" * 30, 50), ("²", 50)]
)
def test_list_of_slabs_is_shown_in_pages(signed_in, team, start, shown):
    for number in range(51):
        make.slab(team.alice, site=team.site, name=f"slab {number:02}")

    page = signed_in("alice").get("/slabs/", {"from": start}).content.decode()

    assert page.count('<th scope="row"><a') == shown


def test_empty_list_says_what_to_do(signed_in):
    cast()

    assert "Add the first one" in signed_in("alice").get("/slabs/").content.decode()
    assert "The office adds them" in signed_in("bob").get("/slabs/").content.decode()


def test_saved_sheet_comes_back_as_a_file_that_can_be_sent(signed_in, bill):
    client = signed_in("alice")

    kept = client.get(f"/designs/{bill.design_id}/sheet/")
    upload = SimpleUploadedFile("sheet.json", kept.content)
    url = f"/slabs/{bill.design.slab_id}/design/sheet/"
    answer = client.post(url, {"key": uuid.uuid4(), "file": upload})

    assert "attachment" in kept["Content-Disposition"]
    assert answer.url == f"/designs/{bill.design_id}/"
    assert Design.objects.count() == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the sheet is not JSON"),
        ('{"schema": ', "line 1"),
        ("[1, 2]", "group of named fields"),
        (json.dumps(make.sheet(thickness_mm=-5, colour="grey")), "colour"),
        ("[" * 100_000, "too deep"),
        ('{"thickness_mm": 125, "thickness_mm": 150}', "stands twice"),
        ('{"thickness_mm": ' + "9" * 5_000 + "}", "thousands of digits"),
        ('{"thickness_mm": NaN}', "is no number"),
    ],
)
def test_bad_sheet_is_refused_and_its_text_kept(signed_in, team, text, said):
    slab = make.slab(team.alice, site=team.site)

    answer = signed_in("alice").post(f"/slabs/{slab.pk}/design/sheet/", {"key": uuid.uuid4(), "text": text})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert Design.objects.count() == 0


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"[" + b" " * 4_000_001 + b"]"])
def test_file_that_is_no_sheet_is_refused(signed_in, team, content):
    slab = make.slab(team.alice, site=team.site)
    upload = SimpleUploadedFile("sheet.json", content)

    answer = signed_in("alice").post(f"/slabs/{slab.pk}/design/sheet/", {"key": uuid.uuid4(), "file": upload})

    assert answer.status_code == 422
    assert Design.objects.count() == 0
