# The ledger is imported so that Django finds it, and Movement is not re-exported: only posting writes it.
from inventory.models import ledger  # noqa: F401 - registers the models
from inventory.models.count import StockCount, StockCountLine
from inventory.models.order import OrderLine, PurchaseOrder
from inventory.models.place import LotStock, Place, Stock
from inventory.models.plan import PlanRun, Suggestion
from inventory.models.receipt import Lot, Receipt, ReceiptLine
from inventory.models.supplier import Offer, Supplier
from inventory.models.usage import StockSlip, StockSlipLine

__all__ = [
    "Lot",
    "LotStock",
    "Offer",
    "OrderLine",
    "Place",
    "PlanRun",
    "PurchaseOrder",
    "Receipt",
    "ReceiptLine",
    "Stock",
    "StockCount",
    "StockCountLine",
    "StockSlip",
    "StockSlipLine",
    "Suggestion",
    "Supplier",
]
