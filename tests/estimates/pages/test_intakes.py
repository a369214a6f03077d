"""The engineer's files through the pages: sent, asked about, and gone on with in the design form."""

import uuid

import pytest
from babel import Locale
from django.core.files.uploadedfile import SimpleUploadedFile

from estimates.calc.reading import reader
from estimates.models import Design, Intake, IntakeFile
from estimates.pages import design_typing
from projects.models import Person
from tests.estimates import drawings
from tests.factories import estimates as make
from tests.factories.cast import cast
from tests.factories.sheets import roof

pytestmark = [pytest.mark.django_db, pytest.mark.data]

INDIA = Locale.parse("en_IN")


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def slab(team):
    return make.slab(team.alice, site=team.site)


@pytest.fixture
def office(client, team):
    client.force_login(Person.objects.get(username="alice"))
    return client


def send(office, slab, *names, **contents):
    files = [SimpleUploadedFile(name, drawings.content(name)) for name in names]
    files += [SimpleUploadedFile(name.replace("__", "."), content) for name, content in contents.items()]
    return office.post(f"/slabs/{slab.pk}/files/", {"key": str(uuid.uuid4()), "files": files})


def boxes(answer, **said):
    """What a browser would send: what is chosen beforehand, and over it what a person says."""
    found = {"key": str(uuid.uuid4())}
    for view in (*answer.context["needed"], *answer.context["further"], *answer.context["answered"]):
        if view.question.choices:
            found[f"choice:{view.question.id}"] = view.chosen
        if view.question.typed or not view.question.choices:
            found[f"typed:{view.question.id}"] = view.typed
    for name, value in said.items():
        kind = "choice" if f"choice:{name}" in found else "typed"
        if f"{kind}:{name}" in found:
            found[f"{kind}:{name}"] = value
    return found


def answer_all(office, url, said):
    """Answers round after round, as long as answers open further questions."""
    for _round in range(5):
        page = office.get(url)
        if page.context["sheet"].begun.ready and all(
            name in page.context["sheet"].intake.answers for name in said
        ):
            break
        office.post(url, boxes(page, **said))
    return office.get(url)


def test_ridge_house_goes_from_its_files_to_its_design(office, slab):
    sent = send(office, slab, *drawings.RIDGE)
    page = answer_all(office, sent.url, drawings.SAID)

    assert page.context["sheet"].begun.ready
    form = office.get(f"/slabs/{slab.pk}/design/new/?intake={Intake.objects.get().pk}")
    typed = {view.path: view.text for part in form.context["form"].parts for view in part.boxes}
    for part in form.context["form"].parts:
        typed |= {view.path: view.text for row in part.rows for view in row.boxes}
    typed = {path: text for path, text in typed.items() if text}
    typed |= design_typing.written(drawings.REST, locale=INDIA)
    saved = office.post(f"/slabs/{slab.pk}/design/new/", {"key": str(uuid.uuid4()), "act": "save"} | typed)

    assert saved.status_code == 302, [fault.message for fault in saved.context["form"].faults]
    assert reader.read(Design.objects.get().sheet) == _by_hand()


def _by_hand():
    """The sheet that was written by hand from the same drawing; only the count of S2 names its rule here."""
    sheet = roof()
    bars = {bar["mark"]: bar for bar in sheet["bars"]}
    bars["S2"]["count_rule"]["method"] = "spacing_plus_one_dropped"
    return reader.read(sheet)


def test_nothing_is_taken_over_before_its_question_is_answered(office, slab):
    page = office.get(send(office, slab, *drawings.RIDGE).url)

    begun = page.context["sheet"].begun
    assert "outline" not in begun.sheet
    assert "bars" not in begun.sheet
    assert {question.id for question in begun.open} >= {"bars.unit", "bars.shape.closed stirrup"}
    assert "Go on to the design" not in page.content.decode()


def test_the_empty_count_stands_beside_what_the_rules_give(office, slab):
    url = send(office, slab, *drawings.RIDGE).url
    page = answer_all(office, url, {"bars.unit": "mm"})

    words = next(q for q in page.context["sheet"].begun.questions if q.id == "bars.count.5")
    assert [choice.words.split()[0] for choice in words.choices][:2] == ["38", "38"]
    assert [question.id for question in page.context["sheet"].begun.open] == ["bars.count.5"]


def test_the_gap_of_the_dairy_store_is_closed_as_a_person_says(office, slab):
    url = send(office, slab, *drawings.DAIRY).url

    page = answer_all(office, url, drawings.DAIRY_SAID)

    outline = page.context["sheet"].begun.sheet["outline"]
    assert outline == [[0, 0], [12400, 0], [12400, 4200], [7600, 4200], [7600, 9900], [0, 9900]]


def test_an_open_question_loses_nothing(office, slab):
    url = send(office, slab, *drawings.DAIRY).url
    page = office.get(url)
    office.post(url, boxes(page))

    again = office.get(url)

    assert again.context["sheet"].intake.answers["plan.layer.S-OPNG"] == "openings"
    assert [q.id for q in again.context["sheet"].begun.open if q.id.startswith("plan.gap")] == ["plan.gap.r1"]
    assert "1200" in again.content.decode()
    assert url in office.get(f"/slabs/{slab.pk}/files/").content.decode()


def test_answer_that_is_none_of_the_choices_is_refused_and_the_rest_kept_on_the_page(office, slab):
    url = send(office, slab, *drawings.RIDGE).url

    answer = office.post(url, {"key": str(uuid.uuid4()), "choice:bars.unit": "cubits"})

    assert answer.status_code == 422
    assert "none of the answers" in answer.content.decode()
    assert Intake.objects.get().answers == {}


def test_a_corrected_schedule_takes_the_place_of_the_first(office, slab):
    url = send(office, slab, drawings.RIDGE[1]).url
    better = drawings.content(drawings.RIDGE[1]).replace(b"9150,,,,1,200", b"9150,,,38,1,200")

    office.post(
        f"{url}more/", {"key": str(uuid.uuid4()), "files": [SimpleUploadedFile("bars-b.csv", better)]}
    )

    page = office.get(url)
    assert [row.row.per_member for row in page.context["sheet"].rows][1] == 38
    assert IntakeFile.objects.count() == 2


def test_sent_twice_with_one_key_is_kept_once(office, slab):
    key = str(uuid.uuid4())

    def once():
        file = SimpleUploadedFile("bars.csv", drawings.content(drawings.RIDGE[1]))
        return office.post(f"/slabs/{slab.pk}/files/", {"key": key, "files": [file]})

    assert once().url == once().url
    assert Intake.objects.count() == 1


def test_file_comes_back_as_it_was_received(office, slab):
    send(office, slab, drawings.RIDGE[0])
    file = IntakeFile.objects.get()

    answer = office.get(f"/intakes/files/{file.pk}/as-received/")

    assert answer.content == drawings.content(drawings.RIDGE[0])
    assert answer["Content-Disposition"] == f'attachment; filename="file-{file.pk}.dxf"'


def test_refused_file_says_why_and_keeps_nothing(office, slab):
    answer = send(office, slab, drawings.RIDGE[0], bars__csv=b"nothing,of,a,schedule\n")

    assert answer.status_code == 422
    assert "bars.csv" in answer.content.decode()
    assert "no row of the file reads as the heads" in answer.content.decode()
    assert Intake.objects.count() == 0


def test_no_file_is_refused_in_words(office, slab):
    answer = office.post(f"/slabs/{slab.pk}/files/", {"key": str(uuid.uuid4())})

    assert answer.status_code == 422
    assert "No file came with it" in answer.content.decode()
