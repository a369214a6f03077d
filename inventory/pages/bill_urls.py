from django.urls import URLPattern, path

from inventory.pages import openings, payments, supplier_bills

urlpatterns: list[URLPattern] = [
    path("supplier-bills/", supplier_bills.listing, name="supplier_bills"),
    path("supplier-bills/opening/", openings.bill, name="opening_bill"),
    path("supplier-bills/<int:supplier_bill_id>/", supplier_bills.one, name="supplier_bill"),
    path("supplier-bills/<int:supplier_bill_id>/settle/", supplier_bills.settle, name="supplier_bill_settle"),
    path("supplier-bills/<int:supplier_bill_id>/note/", supplier_bills.note, name="supplier_bill_note"),
    path("supplier-bills/<int:supplier_bill_id>/pay/", payments.of_bill, name="supplier_bill_pay"),
    path(
        "supplier-bills/<int:supplier_bill_id>/advance/<int:payment_id>/",
        payments.use_advance,
        name="supplier_bill_advance",
    ),
    path("suppliers/<int:supplier_id>/bills/new/", supplier_bills.new, name="supplier_bill_new"),
    path("suppliers/<int:supplier_id>/payments/", payments.listing, name="payments"),
    path("suppliers/<int:supplier_id>/payments/new/", payments.advance, name="advance_new"),
    path("payments/<int:payment_id>/take-back/", payments.take_back, name="payment_take_back"),
]
