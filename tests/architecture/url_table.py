"""Every address × everybody: the one table of who gets in.

Columns: nobody signed in, the office, the site manager at the own site, the site manager at another site of
the firm, the owner, the office of another firm. Addresses name a row of the first firm, in the fourth column
one of the other site. 302 leads on (for nobody, to the sign-in page), 422 shows the form again, 409 is
refused for the state it is in. A new address needs a row here, one of the stores in
url_table_stores.py, one of the API in url_table_api.py.
"""

from tests.architecture import url_table_api, url_table_stores

WHO = ("nobody", "office", "own site", "other site", "owner", "other firm")

ROWS = """
# running the service, and signing in
GET /health/                                                       200 200 200 200 200 200
POST /health/                                                      405 405 405 405 405 405
GET /certificate/                                                  404 404 404 404 404 404
POST /certificate/                                                 405 405 405 405 405 405
GET /worker.js                                                     200 200 200 200 200 200
POST /worker.js                                                    405 405 405 405 405 405
GET /sign-in/                                                      200 200 200 200 200 200
POST /sign-in/                                                     422 422 422 422 422 422
GET /sign-out/                                                     405 405 405 405 405 405
POST /sign-out/                                                    302 302 302 302 302 302
# pages; a form is sent empty
GET /sites/                                                        302 200 200 200 200 200
POST /sites/                                                       302 405 405 405 405 405
GET /holidays/                                                     302 200 403 403 403 200
POST /holidays/                                                    302 422 403 403 403 422
GET /holidays/<int:holiday_id>/take-out/                           302 200 403 403 403 404
POST /holidays/<int:holiday_id>/take-out/                          302 422 403 403 403 404
GET /limits/                                                       302 403 403 403 200 403
POST /limits/                                                      302 403 403 403 422 403
GET /sites/new/                                                    302 200 403 403 403 200
POST /sites/new/                                                   302 422 403 403 403 422
GET /acts/                                                         302 403 403 403 200 403
POST /acts/                                                        302 403 403 403 405 403
GET /people/new/                                                   302 200 403 403 403 200
POST /people/new/                                                  302 422 403 403 403 422
GET /people/<str:username>/mail/                                   302 200 403 403 403 404
POST /people/<str:username>/mail/                                  302 422 403 403 403 404
GET /people/<str:username>/password/                               302 200 403 403 403 404
POST /people/<str:username>/password/                              302 422 403 403 403 404
GET /slabs/new/                                                    302 200 403 403 403 200
POST /slabs/new/                                                   302 422 403 403 403 422
GET /slabs/<int:slab_id>/pours/new/                                302 200 403 403 403 404
POST /slabs/<int:slab_id>/pours/new/                               302 422 403 403 403 404
GET /slabs/<int:slab_id>/finish/                                   302 200 403 403 403 404
POST /slabs/<int:slab_id>/finish/                                  302 422 403 403 403 404
GET /pours/<int:pour_id>/move/                                     302 200 403 403 403 404
POST /pours/<int:pour_id>/move/                                    302 422 403 403 403 404
GET /pours/<int:pour_id>/poured/                                   302 200 200 404 403 404
POST /pours/<int:pour_id>/poured/                                  302 422 422 404 403 404
GET /slabs/                                                        302 200 200 200 200 200
POST /slabs/                                                       302 405 405 405 405 405
GET /slabs/<int:slab_id>/                                          302 200 200 404 200 404
POST /slabs/<int:slab_id>/                                         302 405 405 405 405 405
GET /slabs/<int:slab_id>/design/new/                               302 200 403 403 403 404
POST /slabs/<int:slab_id>/design/new/                              302 422 403 403 403 404
GET /slabs/<int:slab_id>/design/preview/                           302 405 403 403 403 405
POST /slabs/<int:slab_id>/design/preview/                          302 200 403 403 403 404
GET /slabs/<int:slab_id>/design/sheet/                             302 200 403 403 403 404
POST /slabs/<int:slab_id>/design/sheet/                            302 422 403 403 403 404
GET /slabs/<int:slab_id>/files/                                    302 200 403 403 403 404
POST /slabs/<int:slab_id>/files/                                   302 422 403 403 403 404
GET /intakes/bar-schedule.xlsx                                     302 200 200 200 200 200
POST /intakes/bar-schedule.xlsx                                    302 405 405 405 405 405
GET /intakes/<int:intake_id>/                                      302 200 403 403 403 404
POST /intakes/<int:intake_id>/                                     302 302 403 403 403 404
GET /intakes/<int:intake_id>/more/                                 302 405 403 403 403 405
POST /intakes/<int:intake_id>/more/                                302 422 403 403 403 404
GET /intakes/files/<int:file_id>/as-received/                      302 200 403 403 403 404
POST /intakes/files/<int:file_id>/as-received/                     302 405 403 403 403 405
GET /designs/<int:design_id>/                                      302 200 200 404 200 404
POST /designs/<int:design_id>/                                     302 422 422 404 422 404
GET /designs/<int:design_id>/sheet/                                302 200 200 404 200 404
POST /designs/<int:design_id>/sheet/                               302 405 405 405 405 405
GET /designs/<int:design_id>/batch-card/                           302 200 200 404 200 404
POST /designs/<int:design_id>/batch-card/                          302 405 405 405 405 405
GET /designs/<int:design_id>/batch-card.pdf                        302 200 200 404 200 404
POST /designs/<int:design_id>/batch-card.pdf                       302 405 405 405 405 405
GET /designs/<int:design_id>/mix/                                  302 200 200 404 200 404
POST /designs/<int:design_id>/mix/                                 302 405 405 405 405 405
GET /mixes/proportioning/                                          302 200 200 200 200 200
POST /mixes/proportioning/                                         302 405 405 405 405 405
GET /designs/<int:design_id>/bars/                                 302 200 200 404 200 404
POST /designs/<int:design_id>/bars/                                302 405 405 405 405 405
GET /designs/<int:design_id>/bars.pdf                              302 200 200 404 200 404
POST /designs/<int:design_id>/bars.pdf                             302 405 405 405 405 405
GET /designs/<int:design_id>/bars.xlsx                             302 200 200 404 200 404
POST /designs/<int:design_id>/bars.xlsx                            302 405 405 405 405 405
GET /designs/<int:design_id>/bars.csv                              302 200 200 404 200 404
POST /designs/<int:design_id>/bars.csv                             302 405 405 405 405 405
GET /bills/<int:bill_id>/                                          302 200 200 404 200 404
POST /bills/<int:bill_id>/                                         302 405 405 405 405 405
GET /bills/<int:bill_id>/difference/                               302 200 200 404 200 404
POST /bills/<int:bill_id>/difference/                              302 405 405 405 405 405
GET /bills/<int:bill_id>/touches/                                  302 200 200 404 200 404
POST /bills/<int:bill_id>/touches/                                 302 405 405 405 405 405
GET /bills/<int:bill_id>/bill.pdf                                  302 200 200 404 200 404
POST /bills/<int:bill_id>/bill.pdf                                 302 405 405 405 405 405
GET /bills/<int:bill_id>/bill.xlsx                                 302 200 200 404 200 404
POST /bills/<int:bill_id>/bill.xlsx                                302 405 405 405 405 405
GET /bills/<int:bill_id>/lines.csv                                 302 200 200 404 200 404
POST /bills/<int:bill_id>/lines.csv                                302 405 405 405 405 405
GET /materials/                                                    302 200 200 200 200 200
POST /materials/                                                   302 405 405 405 405 405
GET /materials/adopt/                                              302 200 403 403 403 200
POST /materials/adopt/                                             302 422 403 403 403 422
GET /materials/<int:material_id>/packs/new/                        302 200 403 403 403 404
POST /materials/<int:material_id>/packs/new/                       302 422 403 403 403 404
GET /materials/<int:material_id>/timing/                           302 200 403 403 403 404
POST /materials/<int:material_id>/timing/                          302 422 403 403 403 404
GET /standards/                                                    302 200 200 200 200 200
POST /standards/                                                   302 405 405 405 405 405
GET /standards/<slug:profile>/<str:key>/                           302 200 403 403 403 200
POST /standards/<slug:profile>/<str:key>/                          302 422 403 403 403 422
GET /rates/                                                        302 200 403 403 200 200
POST /rates/                                                       302 405 403 403 405 405
GET /materials/<int:material_id>/rates/                            302 200 403 403 200 404
POST /materials/<int:material_id>/rates/                           302 405 403 403 405 405
GET /materials/<int:material_id>/rates/new/                        302 200 403 403 403 404
POST /materials/<int:material_id>/rates/new/                       302 422 403 403 403 404
GET /                                                              302 200 200 200 200 200
POST /                                                             302 405 405 405 405 405
GET /suppliers/                                                    302 200 403 403 200 200
POST /suppliers/                                                   302 405 405 405 405 405
GET /suppliers/new/                                                302 200 403 403 403 200
POST /suppliers/new/                                               302 422 403 403 403 422
GET /suppliers/<int:supplier_id>/                                  302 200 403 403 200 404
POST /suppliers/<int:supplier_id>/                                 302 405 405 405 405 405
GET /suppliers/<int:supplier_id>/change/                           302 200 403 403 403 404
POST /suppliers/<int:supplier_id>/change/                          302 422 403 403 403 404
GET /suppliers/<int:supplier_id>/terms/                            302 200 403 403 403 404
POST /suppliers/<int:supplier_id>/terms/                           302 422 403 403 403 404
GET /suppliers/<int:supplier_id>/offers/new/                       302 200 403 403 403 404
POST /suppliers/<int:supplier_id>/offers/new/                      302 422 403 403 403 404
GET /supplier-bills/opening/                                       302 200 403 403 403 200
POST /supplier-bills/opening/                                      302 422 403 403 403 422
GET /supplier-bills/                                               302 200 403 403 200 200
POST /supplier-bills/                                              302 405 403 403 405 405
GET /supplier-bills/<int:supplier_bill_id>/                        302 200 403 403 200 404
POST /supplier-bills/<int:supplier_bill_id>/                       302 405 403 403 405 405
GET /supplier-bills/<int:supplier_bill_id>/settle/                 302 200 403 403 200 404
POST /supplier-bills/<int:supplier_bill_id>/settle/                302 422 403 403 422 404
GET /supplier-bills/<int:supplier_bill_id>/note/                   302 200 403 403 403 404
POST /supplier-bills/<int:supplier_bill_id>/note/                  302 422 403 403 403 404
GET /supplier-bills/<int:supplier_bill_id>/pay/                    302 200 403 403 403 404
POST /supplier-bills/<int:supplier_bill_id>/pay/                   302 422 403 403 403 404
GET /supplier-bills/<int:supplier_bill_id>/advance/<int:payment_id>/ 302 200 403 403 403 404
POST /supplier-bills/<int:supplier_bill_id>/advance/<int:payment_id>/ 302 422 403 403 403 404
GET /suppliers/<int:supplier_id>/bills/new/                        302 200 403 403 403 404
POST /suppliers/<int:supplier_id>/bills/new/                       302 422 403 403 403 404
GET /suppliers/<int:supplier_id>/payments/                         302 200 403 403 200 404
POST /suppliers/<int:supplier_id>/payments/                        302 405 403 403 405 405
GET /suppliers/<int:supplier_id>/payments/new/                     302 200 403 403 403 404
POST /suppliers/<int:supplier_id>/payments/new/                    302 422 403 403 403 404
GET /payments/<int:payment_id>/take-back/                          302 200 403 403 403 404
POST /payments/<int:payment_id>/take-back/                         302 422 403 403 403 404
GET /orders/<int:order_id>/order.pdf                               302 200 403 403 200 404
POST /orders/<int:order_id>/order.pdf                              302 405 403 403 405 405
GET /orders/<int:order_id>/order.xml                               302 200 403 403 200 404
POST /orders/<int:order_id>/order.xml                              302 405 403 403 405 405
GET /orders/<int:order_id>/amend/                                  302 200 403 403 200 404
POST /orders/<int:order_id>/amend/                                 302 422 403 403 422 404
GET /orders/<int:order_id>/expect/                                 302 200 200 404 403 404
POST /orders/<int:order_id>/expect/                                302 422 422 404 403 404
GET /orders/<int:order_id>/tell/                                   302 200 403 403 403 404
POST /orders/<int:order_id>/tell/                                  302 422 403 403 403 404
GET /orders/cash/                                                  302 200 200 200 403 200
POST /orders/cash/                                                 302 422 422 422 403 422
GET /agreements/                                                   302 200 200 200 200 200
POST /agreements/                                                  302 405 405 405 405 405
GET /agreements/new/                                               302 200 403 403 403 200
POST /agreements/new/                                              302 422 403 403 403 422
GET /agreements/<int:agreement_id>/                                302 200 200 200 200 404
POST /agreements/<int:agreement_id>/                               302 405 405 405 405 405
GET /agreements/<int:agreement_id>/end/                            302 200 403 403 403 404
POST /agreements/<int:agreement_id>/end/                           302 422 403 403 403 404
GET /agreements/<int:agreement_id>/call-off/                       302 200 200 200 403 404
POST /agreements/<int:agreement_id>/call-off/                      302 422 422 422 403 404
GET /enquiries/                                                    302 200 403 403 200 200
POST /enquiries/                                                   302 405 405 405 405 405
GET /enquiries/new/                                                302 200 403 403 403 200
POST /enquiries/new/                                               302 422 403 403 403 422
GET /enquiries/<int:enquiry_id>/                                   302 200 403 403 200 404
POST /enquiries/<int:enquiry_id>/                                  302 405 405 405 405 405
GET /enquiries/<int:enquiry_id>/send/                              302 405 403 403 403 405
POST /enquiries/<int:enquiry_id>/send/                             302 400 403 403 403 404
GET /enquiries/<int:enquiry_id>/end/                               302 200 403 403 403 404
POST /enquiries/<int:enquiry_id>/end/                              302 422 403 403 403 404
GET /enquiries/<int:enquiry_id>/quotations/new/                    302 200 403 403 403 404
POST /enquiries/<int:enquiry_id>/quotations/new/                   302 422 403 403 403 404
GET /enquiries/asked/<int:asked_id>/enquiry.pdf                    302 200 403 403 200 404
POST /enquiries/asked/<int:asked_id>/enquiry.pdf                   302 405 405 405 405 405
GET /quotations/<int:quoted_id>/choose/                            302 200 403 403 403 404
POST /quotations/<int:quoted_id>/choose/                           302 422 403 403 403 404
GET /orders/                                                       302 200 200 200 200 200
POST /orders/                                                      302 405 405 405 405 405
GET /orders/new/                                                   302 200 403 403 403 200
POST /orders/new/                                                  302 422 403 403 403 422
GET /orders/<int:order_id>/                                        302 200 200 404 200 404
POST /orders/<int:order_id>/                                       302 405 405 405 405 405
GET /orders/<int:order_id>/approve/                                302 405 403 403 405 405
POST /orders/<int:order_id>/approve/                               302 400 403 403 400 404
GET /orders/<int:order_id>/send/                                   302 405 403 403 403 405
POST /orders/<int:order_id>/send/                                  302 400 403 403 403 404
GET /orders/<int:order_id>/cancel/                                 302 200 403 403 403 404
POST /orders/<int:order_id>/cancel/                                302 422 403 403 403 404
GET /orders/<int:order_id>/close/                                  302 200 403 403 403 404
POST /orders/<int:order_id>/close/                                 302 422 403 403 403 404
GET /plan/                                                         302 200 403 403 200 200
POST /plan/                                                        302 405 405 405 405 405
GET /plan/order/                                                   302 405 403 403 403 405
POST /plan/order/                                                  302 422 403 403 403 422
GET /plan/state/                                                   302 200 403 403 200 200
POST /plan/state/                                                  302 405 405 405 405 405
GET /plan/again/                                                   302 405 403 403 403 405
POST /plan/again/                                                  302 302 403 403 403 302
GET /plan/send/                                                    302 405 403 403 403 405
POST /plan/send/                                                   302 302 403 403 403 302
GET /plan/what-if/                                                 302 200 403 403 403 422
POST /plan/what-if/                                                302 200 403 403 403 200
GET /plan/roads/                                                   302 200 403 403 403 200
POST /plan/roads/                                                  302 422 403 403 403 422
GET /plan/terms/                                                   302 200 403 403 403 200
POST /plan/terms/                                                  302 422 403 403 403 422
GET /plan/<int:suggestion_id>/                                     302 200 403 403 200 404
POST /plan/<int:suggestion_id>/                                    302 422 403 403 422 404
GET /plan/<int:suggestion_id>/days/                                302 200 403 403 200 404
POST /plan/<int:suggestion_id>/days/                               302 405 405 405 405 405
GET /plan/<int:suggestion_id>/later/                               302 200 403 403 403 404
POST /plan/<int:suggestion_id>/later/                              302 422 403 403 403 404
GET /plan/<int:suggestion_id>/reject/                              302 200 403 403 403 404
POST /plan/<int:suggestion_id>/reject/                             302 422 403 403 403 404
GET /slabs/<int:slab_id>/comparison/                               302 200 200 404 200 404
POST /slabs/<int:slab_id>/comparison/                              302 405 405 405 405 405
GET /spend/                                                        302 200 403 403 200 200
POST /spend/                                                       302 405 403 403 405 405
GET /spend/slabs/<int:slab_id>/                                    302 200 403 403 200 404
POST /spend/slabs/<int:slab_id>/                                   302 405 403 403 405 405
"""


def table() -> dict[str, dict[str, int]]:
    """Return what each of WHO is answered, by column and then by method and address."""
    rows = [
        line.rsplit(maxsplit=len(WHO))
        for line in (ROWS + url_table_stores.ROWS + url_table_api.ROWS).splitlines()
        if line and not line.startswith("#")
    ]
    return {who: {row[0]: int(row[1 + place]) for row in rows} for place, who in enumerate(WHO)}
