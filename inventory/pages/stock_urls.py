from django.urls import URLPattern, path

from inventory.pages import counts, ledger, receipts, slips, stores, transfers

urlpatterns: list[URLPattern] = [
    path("stores/", stores.listing, name="stores"),
    path("stores/<int:site_id>/", stores.sheet, name="store"),
    path("stores/<int:site_id>/movements/", stores.latest, name="movements"),
    path("stores/<int:site_id>/count/", counts.new, name="count_new"),
    path("stores/<int:site_id>/waste/", slips.waste, name="waste_new"),
    path("stores/<int:site_id>/opening/", stores.open_stock, name="opening_new"),
    path("stores/ledger/<int:place_id>/<int:material_id>/", ledger.sheet, name="ledger"),
    path("stores/receipts/", receipts.listing, name="receipts"),
    path("stores/receipts/expected/", receipts.expected, name="expected"),
    path("stores/receipts/new/", receipts.free, name="receipt_new"),
    path("stores/receipts/order/<int:order_id>/", receipts.of_order, name="receipt_of_order"),
    path("stores/receipts/<int:receipt_id>/", receipts.sheet, name="receipt"),
    path("stores/receipts/<int:receipt_id>/take-back/", receipts.take_back, name="receipt_take_back"),
    path("stores/slips/", slips.listing, name="slips"),
    path("stores/slips/<int:slip_id>/", slips.sheet, name="slip"),
    path("stores/slips/<int:slip_id>/take-back/", slips.take_back, name="slip_take_back"),
    path("stores/<int:site_id>/send/", transfers.send, name="transfer_new"),
    path("stores/transfers/", transfers.listing, name="transfers"),
    path("stores/transfers/<int:transfer_id>/", transfers.one, name="transfer"),
    path("stores/transfers/<int:transfer_id>/receive/", transfers.receive, name="transfer_receive"),
    path("stores/transfers/<int:transfer_id>/call-back/", transfers.call_back, name="transfer_call_back"),
    path("stores/counts/", counts.listing, name="counts"),
    path("stores/counts/<int:count_id>/", counts.sheet, name="count"),
    path("stores/pours/<int:pour_id>/issue/", slips.issue, name="issue_new"),
    path("stores/pours/<int:pour_id>/return/", slips.bring_back, name="return_new"),
    path("stores/pours/<int:pour_id>/waste/", slips.waste_of_pour, name="pour_waste_new"),
    path("stores/pours/<int:pour_id>/close/", counts.close_pour, name="pour_close"),
]
