from django.urls import include, path, re_path, register_converter

from api import documents
from api.resources import (
    batching,
    bills,
    comparison,
    counts,
    cutting,
    designs,
    drawings,
    enquiries,
    firm,
    intakes,
    jobs,
    materials,
    movements,
    offline,
    orders,
    papers,
    plan,
    pours,
    quarantine,
    receipts,
    revision,
    sites,
    slabs,
    slips,
    spend,
    standards,
    stock,
    supplier_bills,
    suppliers,
    transfers,
)


class RowId:
    """An id short enough for every database's integer."""

    regex = "[0-9]{1,18}"

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: int) -> str:
        return str(value)


register_converter(RowId, "row")

app_name = "api"

_projects = [
    path("me/", firm.Me.as_view()),
    path("people/", firm.People.as_view()),
    path("sites/", sites.Sites.as_view()),
    path("sites/<row:site_id>/", sites.Site.as_view()),
    path("drawings/", drawings.Drawings.as_view()),
    path("drawings/<row:drawing_id>/", drawings.Drawing.as_view()),
    path("slabs/", slabs.Slabs.as_view()),
    path("slabs/<row:slab_id>/", slabs.Slab.as_view()),
    path("slabs/<row:slab_id>/finish/", slabs.Finish.as_view()),
    path("slabs/<row:slab_id>/pours/", pours.PoursOfSlab.as_view()),
    path("pours/", pours.Pours.as_view()),
    path("pours/<row:pour_id>/", pours.Pour.as_view()),
    path("pours/<row:pour_id>/move/", pours.Move.as_view()),
    path("pours/<row:pour_id>/poured/", pours.Poured.as_view()),
    path("pours/<row:pour_id>/close/", pours.Close.as_view()),
    path("jobs/", jobs.Jobs.as_view()),
    path("jobs/<row:job_id>/retry/", jobs.Retry.as_view()),
]

_estimates = [
    path("design-sheet-schema/", designs.SheetSchema.as_view()),
    path("slabs/<row:slab_id>/designs/", designs.DesignsOfSlab.as_view()),
    path("slabs/<row:slab_id>/intakes/", intakes.IntakesOfSlab.as_view()),
    path("intakes/<row:intake_id>/", intakes.Intake.as_view()),
    path("intakes/<row:intake_id>/files/", intakes.MoreFiles.as_view()),
    path("intakes/<row:intake_id>/answers/", intakes.Answers.as_view()),
    path("bar-schedule-template/", intakes.BarTemplate.as_view()),
    path("designs/<row:design_id>/", designs.Design.as_view()),
    path("designs/<row:design_id>/batch-card/pdf/", batching.CardPdf.as_view()),
    path("designs/<row:design_id>/bars/pdf/", designs.BarsPdf.as_view()),
    path("designs/<row:design_id>/bars/xlsx/", designs.BarsXlsx.as_view()),
    path("designs/<row:design_id>/bars/csv/", designs.BarsCsv.as_view()),
    path("designs/<row:design_id>/takeoff/", designs.TakeOff.as_view()),
    path("designs/<row:design_id>/bills/", bills.BillsOfDesign.as_view()),
    path("slabs/<row:slab_id>/bills/", bills.BillsOfSlab.as_view()),
    path("bills/<row:bill_id>/", bills.Bill.as_view()),
    path("bills/<row:bill_id>/pdf/", bills.BillPdf.as_view()),
    path("bills/<row:bill_id>/xlsx/", bills.BillXlsx.as_view()),
    path("bills/<row:bill_id>/csv/", bills.BillCsv.as_view()),
    path("bills/<row:bill_id>/difference/", bills.Difference.as_view()),
    path("bills/<row:bill_id>/touches/", revision.Touches.as_view()),
    path("materials/", materials.Materials.as_view()),
    path("materials/adopt/", materials.Adoption.as_view()),
    path("materials/<row:material_id>/", materials.Material.as_view()),
    path("materials/<row:material_id>/timing/", materials.Timing.as_view()),
    path("materials/<row:material_id>/packs/", materials.Packs.as_view()),
    path("materials/<row:material_id>/rates/", materials.Rates.as_view()),
    path("requirements/", materials.Needs.as_view()),
    path("standards/", standards.Values.as_view()),
    path("standards/figures/", standards.Figures.as_view()),
]

_buying = [
    path("suppliers/", suppliers.Suppliers.as_view()),
    path("suppliers/<row:supplier_id>/", suppliers.Supplier.as_view()),
    path("suppliers/<row:supplier_id>/offers/", suppliers.Offers.as_view()),
    path("suppliers/<row:supplier_id>/unbilled/", supplier_bills.Unbilled.as_view()),
    path("suppliers/<row:supplier_id>/payments/", supplier_bills.Payments.as_view()),
    path("supplier-bills/", supplier_bills.Bills.as_view()),
    path("supplier-bills/<row:supplier_bill_id>/", supplier_bills.Bill.as_view()),
    path("supplier-bills/<row:supplier_bill_id>/settle/", supplier_bills.Settle.as_view()),
    path("supplier-bills/<row:supplier_bill_id>/owner/", supplier_bills.Owner.as_view()),
    path("owed/", supplier_bills.Owed.as_view()),
    path("payments/<row:payment_id>/use/", supplier_bills.UseAdvance.as_view()),
    path("payments/<row:payment_id>/take-back/", supplier_bills.TakeBack.as_view()),
    path("enquiries/", enquiries.Enquiries.as_view()),
    path("enquiries/<row:enquiry_id>/", enquiries.Enquiry.as_view()),
    path("enquiries/<row:enquiry_id>/send/", enquiries.Send.as_view()),
    path("enquiries/<row:enquiry_id>/end/", enquiries.End.as_view()),
    path("enquiries/<row:enquiry_id>/quotations/", enquiries.Quotations.as_view()),
    path("enquiries/asked/<row:asked_id>/pdf/", enquiries.Paper.as_view()),
    path("quotations/<row:quoted_id>/choose/", enquiries.Choose.as_view()),
    path("orders/", orders.Orders.as_view()),
    path("orders/<row:order_id>/", orders.Order.as_view()),
    path("orders/<row:order_id>/approve/", orders.Approve.as_view()),
    path("orders/<row:order_id>/send/", orders.Send.as_view()),
    path("orders/<row:order_id>/cancel/", orders.Cancel.as_view()),
    path("orders/<row:order_id>/close/", orders.Close.as_view()),
    path("plan/", plan.Plan.as_view()),
    path("plan/runs/", plan.Runs.as_view()),
    path("suggestions/approve/", plan.Approve.as_view()),
    path("suggestions/<row:suggestion_id>/", plan.Suggestion.as_view()),
    path("suggestions/<row:suggestion_id>/later/", plan.Postpone.as_view()),
    path("suggestions/<row:suggestion_id>/reject/", plan.Reject.as_view()),
]

_stores = [
    path("expected/", receipts.Expected.as_view()),
    path("receipts/", receipts.Receipts.as_view()),
    path("receipts/methods/", receipts.Methods.as_view()),
    path("receipts/<row:receipt_id>/", receipts.Receipt.as_view()),
    path("receipts/<row:receipt_id>/reverse/", receipts.Reverse.as_view()),
    path("receipts/<row:receipt_id>/papers/", papers.PapersOfReceipt.as_view()),
    path("receipt-papers/<row:paper_id>/", papers.Paper.as_view()),
    path("held/", quarantine.Held.as_view()),
    path("receipt-lines/<row:line_id>/checks/", quarantine.Checks.as_view()),
    path("receipt-lines/<row:line_id>/hold/", quarantine.Hold.as_view()),
    path("receipt-lines/<row:line_id>/release/", quarantine.Release.as_view()),
    path("receipt-lines/<row:line_id>/send-back/", quarantine.SendBack.as_view()),
    path("slips/", slips.Slips.as_view()),
    path("slips/issues/", slips.Issues.as_view()),
    path("slips/returns/", slips.Returns.as_view()),
    path("slips/waste/", slips.Waste.as_view()),
    path("slips/opening/", slips.Opening.as_view()),
    path("slips/<row:slip_id>/", slips.Slip.as_view()),
    path("offline/", offline.Entries.as_view()),
    path("offline/issues/", offline.Issues.as_view()),
    path("offline/returns/", offline.Returns.as_view()),
    path("offline/waste/", offline.Waste.as_view()),
    path("offline/<row:entry_id>/", offline.Entry.as_view()),
    path("offline/<row:entry_id>/post/", offline.Post.as_view()),
    path("offline/<row:entry_id>/give-up/", offline.GiveUp.as_view()),
    path("slips/<row:slip_id>/reverse/", slips.Reverse.as_view()),
    path("transfers/", transfers.Transfers.as_view()),
    path("transfers/<row:transfer_id>/", transfers.Transfer.as_view()),
    path("transfers/<row:transfer_id>/receive/", transfers.Receive.as_view()),
    path("transfers/<row:transfer_id>/call-back/", transfers.CallBack.as_view()),
    path("counts/", counts.Counts.as_view()),
    path("counts/<row:count_id>/", counts.Count.as_view()),
    path("counts/<row:count_id>/approve/", counts.Approve.as_view()),
    path("counts/<row:count_id>/send-back/", counts.SendBack.as_view()),
    path("counts/<row:count_id>/reverse/", counts.Reverse.as_view()),
    path("cutting-plans/", cutting.Plans.as_view()),
    path("cutting-plans/<row:plan_id>/", cutting.Plan.as_view()),
    path("cutting-plans/<row:plan_id>/pdf/", cutting.ListPdf.as_view()),
    path("cutting-plans/<row:plan_id>/reserve/", cutting.Reserve.as_view()),
    path("cutting-plans/<row:plan_id>/end/", cutting.End.as_view()),
    path("cutting-patterns/<row:pattern_id>/cut/", cutting.Cut.as_view()),
    path("cuts/<row:cut_id>/undo/", cutting.Undo.as_view()),
    path("pours/<row:pour_id>/pieces/", cutting.IssuePieces.as_view()),
    path("sites/<row:site_id>/steel/", cutting.SteelOfSite.as_view()),
    path("stores/", stock.Stores.as_view()),
    path("sites/<row:site_id>/stock/", stock.StockOfSite.as_view()),
    path("sites/<row:site_id>/movements/", movements.MovementsOfSite.as_view()),
    path("slabs/<row:slab_id>/stock/", stock.StockOfSlab.as_view()),
    path("places/<row:place_id>/ledger/", movements.Ledger.as_view()),
    path("slabs/<row:slab_id>/comparison/", comparison.Comparison.as_view()),
    path("slabs/<row:slab_id>/spend/", spend.SpendOfSlab.as_view()),
    path("spend/", spend.Spend.as_view()),
]

_documents = [
    path("schema/", documents.Document.as_view(), name="schema"),
    path("docs/", documents.Reader.as_view(), name="docs"),
]

urlpatterns = [
    path("v1/", include([*_projects, *_estimates, *_buying, *_stores, *_documents])),
    re_path(r"^(?P<rest>[\s\S]*)$", documents.Nowhere.as_view()),
]
