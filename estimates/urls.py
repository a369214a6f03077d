from django.urls import path

from estimates.pages import bars, batching, bills, designs, intakes, materials, rates, slabs, standards
from estimates.pages.mixes import composition, proportioning

app_name = "estimates"
urlpatterns = [
    path("slabs/", slabs.listing, name="slabs"),
    path("slabs/<int:slab_id>/", slabs.one, name="slab"),
    path("slabs/<int:slab_id>/design/new/", designs.new, name="design_new"),
    path("slabs/<int:slab_id>/design/preview/", designs.preview, name="design_preview"),
    path("slabs/<int:slab_id>/design/sheet/", designs.sheet, name="design_sheet"),
    path("slabs/<int:slab_id>/files/", intakes.of_slab, name="intakes"),
    path("intakes/bar-schedule.xlsx", intakes.template, name="bar_schedule_template"),
    path("intakes/<int:intake_id>/", intakes.one, name="intake"),
    path("intakes/<int:intake_id>/more/", intakes.more, name="intake_more"),
    path("intakes/files/<int:file_id>/as-received/", intakes.as_received, name="intake_file"),
    path("designs/<int:design_id>/", bills.preview, name="design"),
    path("designs/<int:design_id>/sheet/", designs.sheet_file, name="design_file"),
    path("designs/<int:design_id>/batch-card/", batching.card, name="batch_card"),
    path("designs/<int:design_id>/batch-card.pdf", batching.file, name="batch_card_pdf"),
    path("designs/<int:design_id>/mix/", composition.mix, name="mix"),
    path("mixes/proportioning/", proportioning.page, name="proportioning"),
    path("designs/<int:design_id>/bars/", bars.schedule, name="bars"),
    path("designs/<int:design_id>/bars.csv", bars.file, {"kind": "csv"}, name="bars_csv"),
    path("designs/<int:design_id>/bars.pdf", bars.file, {"kind": "pdf"}, name="bars_pdf"),
    path("designs/<int:design_id>/bars.xlsx", bars.file, {"kind": "xlsx"}, name="bars_xlsx"),
    path("bills/<int:bill_id>/", bills.one, name="bill"),
    path("bills/<int:bill_id>/difference/", bills.difference, name="bill_difference"),
    path("bills/<int:bill_id>/lines.csv", bills.file, {"kind": "csv"}, name="bill_csv"),
    path("bills/<int:bill_id>/bill.pdf", bills.file, {"kind": "pdf"}, name="bill_pdf"),
    path("bills/<int:bill_id>/bill.xlsx", bills.file, {"kind": "xlsx"}, name="bill_xlsx"),
    path("materials/", materials.listing, name="materials"),
    path("materials/adopt/", materials.adopt, name="materials_adopt"),
    path("materials/<int:material_id>/packs/new/", materials.pack, name="pack_new"),
    path("materials/<int:material_id>/timing/", materials.timing, name="material_timing"),
    path("standards/", standards.listing, name="standards"),
    path("standards/<slug:profile>/<str:key>/", standards.figure, name="figure"),
    path("rates/", rates.listing, name="rates"),
    path("materials/<int:material_id>/rates/", rates.history, name="material_rates"),
    path("materials/<int:material_id>/rates/new/", rates.new, name="rate_new"),
]
