"""What is typed over REST is what the act takes: no field of an act is out of reach, none is invented."""

from __future__ import annotations

from dataclasses import MISSING, fields

import pytest

from api.resources import (
    bills,
    counts,
    cutting,
    firm,
    materials,
    orders,
    plan,
    pours,
    receipts,
    sites,
    slabs,
    slips,
    standards,
    suppliers,
)
from estimates.services.bills import BillAct
from estimates.services.figures import FigureAct
from estimates.services.materials import AdoptionAct, PackAct, TimingAct
from estimates.services.rates import RateAct
from inventory.services.counts import CloseAct, CountAct, CountLineAct
from inventory.services.cutting.asking import AskAct
from inventory.services.cutting.bench import CutAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.cutting.settings import SettingsAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.opening import OpeningAct, OpeningLineAct
from inventory.services.orders import LineAct, OrderAct
from inventory.services.plan_moves import SendAct
from inventory.services.plan_terms import TermsAct
from inventory.services.suggestions import ApproveAct, Choice
from inventory.services.suppliers import OfferAct, SupplierAct, SupplierChange
from inventory.services.usage import IssueAct, ReturnAct, SlipLineAct, WasteAct
from projects.services.people import PersonAct
from projects.services.pours import MoveAct, PourAct, PouredAct
from projects.services.sites import SiteAct
from projects.services.slabs import SlabAct

PAIRS = [
    (firm.PersonTyped, PersonAct, set()),
    (sites.SiteTyped, SiteAct, set()),
    (slabs.SlabTyped, SlabAct, set()),
    (pours.PourTyped, PourAct, {"slab_id"}),
    (pours.MoveTyped, MoveAct, {"pour_id"}),
    (pours.PouredTyped, PouredAct, {"pour_id"}),
    (pours.CloseTyped, CloseAct, {"pour_id"}),
    (pours.HeapTyped, CountLineAct, set()),
    (bills.BillTyped, BillAct, {"design_id"}),
    (materials.AdoptionTyped, AdoptionAct, set()),
    (materials.PackTyped, PackAct, {"material_id"}),
    (materials.TimingTyped, TimingAct, {"material_id"}),
    (materials.RateTyped, RateAct, {"material_id"}),
    (standards.FigureTyped, FigureAct, set()),
    (suppliers.SupplierTyped, SupplierAct, set()),
    (suppliers.SupplierChangeTyped, SupplierChange, {"supplier_id"}),
    (suppliers.OfferTyped, OfferAct, {"supplier_id"}),
    (orders.OrderTyped, OrderAct, set()),
    (orders.OrderLineTyped, LineAct, set()),
    (plan.ApproveTyped, ApproveAct, set()),
    (plan.ChoiceTyped, Choice, set()),
    (plan.SendTyped, SendAct, set()),
    (plan.TermsTyped, TermsAct, set()),
    (receipts.ReceiptTyped, ReceiptAct, set()),
    (receipts.ReceiptLineTyped, ReceiptLineAct, set()),
    (slips.PourSlipTyped, IssueAct, set()),
    (slips.PourSlipTyped, ReturnAct, set()),
    (slips.WasteTyped, WasteAct, set()),
    (slips.SlipLineTyped, SlipLineAct, set()),
    (slips.OpeningTyped, OpeningAct, set()),
    (slips.OpeningLineTyped, OpeningLineAct, set()),
    (counts.CountTyped, CountAct, set()),
    (cutting.AskTyped, AskAct, set()),
    (cutting.SettingsTyped, SettingsAct, set()),
    (cutting.CutTyped, CutAct, {"pattern_id"}),
    (cutting.PieceTyped, PieceAct, set()),
    (cutting.IssuePiecesTyped, IssuePiecesAct, {"pour_id"}),
    (counts.CountLineTyped, CountLineAct, set()),
]


@pytest.mark.parametrize(("typed", "act", "in_the_address"), PAIRS, ids=lambda v: getattr(v, "__name__", ""))
def test_typed_fields_are_those_of_the_act(typed, act, in_the_address):
    assert set(typed().fields) == {field.name for field in fields(act)} - in_the_address


@pytest.mark.parametrize(("typed", "act", "in_the_address"), PAIRS, ids=lambda v: getattr(v, "__name__", ""))
def test_what_the_act_asks_for_is_asked_for(typed, act, in_the_address):
    asked = {f.name for f in fields(act) if f.default is MISSING and f.default_factory is MISSING}

    required = {name for name, field in typed().fields.items() if field.required}

    assert asked - in_the_address - required == _with_an_answer_of_their_own(typed)


def _with_an_answer_of_their_own(typed):
    return {
        name for name, field in typed().fields.items() if not field.required and "default" in field._kwargs
    }
