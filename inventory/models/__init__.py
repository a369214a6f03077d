# The ledger is imported so that Django finds it, and Movement is not re-exported: only posting writes it.
from inventory.models import ledger  # noqa: F401 - registers the models
from inventory.models.agreement import RateAgreement
from inventory.models.count import StockCount, StockCountLine
from inventory.models.cutting.bench import Cut, CutBar, PieceIssue, Reservation
from inventory.models.cutting.plan import (
    CuttingNeed,
    CuttingPattern,
    CuttingPlan,
    CuttingResult,
    PatternPiece,
)
from inventory.models.cutting.settings import CuttingSettings
from inventory.models.enquiry import (
    EnquiredSupplier,
    Enquiry,
    EnquiryLine,
    Quotation,
    QuotationChoice,
    QuotationLine,
)
from inventory.models.held import OfflineEntry
from inventory.models.hire import Hire, HireEnd
from inventory.models.lot_test import LotTest
from inventory.models.order import OrderAmendment, OrderDate, OrderLine, PurchaseOrder
from inventory.models.place import LotStock, Place, Stock
from inventory.models.plan import PlanRun, PlanTerms, PourOutlook, Suggestion
from inventory.models.receipt import Lot, Receipt, ReceiptLine
from inventory.models.receipt_check import ReceiptCheck
from inventory.models.receipt_paper import ReceiptPaper
from inventory.models.site_road import SiteRoad
from inventory.models.storage import OtherUse, StorageLimit
from inventory.models.supplier import Offer, OfferBreak, Supplier
from inventory.models.supplier_bill import Payment, PaymentPart, SupplierBill, SupplierBillLine
from inventory.models.transfer import Transfer, TransferLine
from inventory.models.usage import StockSlip, StockSlipLine

__all__ = [
    "Cut",
    "CutBar",
    "CuttingNeed",
    "CuttingPattern",
    "CuttingPlan",
    "CuttingResult",
    "CuttingSettings",
    "EnquiredSupplier",
    "Enquiry",
    "EnquiryLine",
    "Hire",
    "HireEnd",
    "Lot",
    "LotStock",
    "LotTest",
    "Offer",
    "OfferBreak",
    "OfflineEntry",
    "OrderAmendment",
    "OrderDate",
    "OrderLine",
    "OtherUse",
    "PatternPiece",
    "Payment",
    "PaymentPart",
    "PieceIssue",
    "Place",
    "PlanRun",
    "PlanTerms",
    "PourOutlook",
    "PurchaseOrder",
    "Quotation",
    "QuotationChoice",
    "QuotationLine",
    "RateAgreement",
    "Receipt",
    "ReceiptCheck",
    "ReceiptLine",
    "ReceiptPaper",
    "Reservation",
    "SiteRoad",
    "Stock",
    "StockCount",
    "StockCountLine",
    "StockSlip",
    "StockSlipLine",
    "StorageLimit",
    "Suggestion",
    "Supplier",
    "SupplierBill",
    "SupplierBillLine",
    "Transfer",
    "TransferLine",
]
