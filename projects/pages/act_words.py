"""What the acts of the record are called for people."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

WORDS = {
    "agreements": {"write": _("rate agreed")},
    "asking": {"ask": _("cutting plan asked for")},
    "bench": {"cut": _("bars cut"), "undo": _("cut taken back")},
    "bills": {"issue": _("bill of quantities issued")},
    "count_approval": {
        "approve": _("count approved"),
        "send_back": _("count sent back"),
        "reverse": _("count taken back"),
    },
    "counts": {"record": _("store counted"), "close_pour": _("pour closed with its heaps")},
    "deliveries": {"record": _("delivery received"), "reverse": _("receipt taken back")},
    "designs": {"save": _("design saved")},
    "enquiries": {
        "write": _("enquiry written"),
        "send": _("enquiry sent"),
        "end": _("enquiry ended"),
        "note_mailed": _("enquiry mailed"),
    },
    "figures": {"set_own": _("own figure set")},
    "hire": {
        "take_on": _("things came on hire"),
        "agree": _("price of a hire set"),
        "end": _("hired pieces back, damaged or lost"),
        "put_off": _("return of a hire planned"),
        "take_back": _("hire taken back"),
        "take_back_end": _("return or loss of a hire taken back"),
    },
    "intakes": {"_keep": _("file read"), "answer": _("questions of a file answered")},
    "issuing": {"issue": _("cut bars issued")},
    "jobs": {"retry": _("background job tried again")},
    "materials": {
        "adopt": _("materials adopted"),
        "add_pack": _("pack added"),
        "set_timing": _("timing of a material set"),
    },
    "offline": {
        "record": _("slip or receipt written offline"),
        "post": _("held entry posted"),
        "give_up": _("held entry given up"),
    },
    "opening": {"record": _("opening stock taken in")},
    "opening_bills": {"record": _("unpaid bill from before entered")},
    "opening_book": {"record": _("opening of a site taken in")},
    "opening_orders": {"record": _("open order from before entered")},
    "orders": {
        "draft": _("order drafted"),
        "approve": _("order approved"),
        "send": _("order sent"),
        "cancel": _("order cancelled"),
        "close": _("order closed"),
        "note_mailed": _("order mailed"),
    },
    "payments": {
        "pay": _("supplier paid"),
        "use_advance": _("advance used"),
        "take_back": _("payment taken back"),
    },
    "people": {
        "found_firm": _("firm founded"),
        "admit": _("person admitted"),
        "set_password": _("password set"),
        "set_email": _("mail address set"),
    },
    "other_use": {"set_use": _("use of other works set")},
    "planning": {"make_plan": _("reorder plan made")},
    "pours": {
        "plan": _("pour planned"),
        "move": _("pour moved"),
        "mark_poured": _("pour placed"),
        "close": _("pour closed"),
    },
    "quarantine": {
        "check": _("load checked"),
        "hold": _("load held"),
        "release": _("load released"),
        "send_back": _("load sent back"),
    },
    "quotations": {"record": _("quotation recorded"), "choose": _("quotation chosen")},
    "rates": {"set_rate": _("rate set")},
    "reserving": {"reserve": _("bars reserved"), "end": _("cutting plan ended")},
    "sites": {"open_site": _("site opened")},
    "slabs": {"add": _("slab added"), "finish": _("slab finished")},
    "suggestions": {
        "approve": _("suggestion approved"),
        "reject": _("suggestion rejected"),
        "postpone": _("suggestion put off"),
    },
    "supplier_bills": {
        "record": _("supplier's bill entered"),
        "settle": _("held bill settled"),
        "give": _("held bill handed on"),
    },
    "suppliers": {
        "add": _("supplier added"),
        "change": _("supplier changed"),
        "set_offer": _("price offered"),
    },
    "transfers": {
        "dispatch": _("transfer sent"),
        "receive": _("transfer received"),
        "call_back": _("transfer called back"),
    },
    "usage": {
        "issue": _("material issued"),
        "issue_elsewhere": _("material issued to other works"),
        "bring_back": _("material brought back"),
        "waste": _("waste recorded"),
        "reverse": _("slip taken back"),
    },
}
"""Words by service and act."""


def of(act: str) -> str:
    """Say what an act is called; one that has no words yet by the names of its service and function.

    >>> of("moulds.oil_twice")
    'moulds: oil twice'
    """
    service, _dot, name = act.partition(".")
    found = WORDS.get(service, {}).get(name)
    return str(found) if found else f"{service}: {name}".replace("_", " ")
