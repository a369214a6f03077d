from estimates.models.bill import Bill, BillLine
from estimates.models.design import Design
from estimates.models.figure import FirmFigure
from estimates.models.intake import Intake, IntakeFile
from estimates.models.material import Material, Pack, StockUnit, UseMethod
from estimates.models.rate import Rate
from estimates.models.requirement import Requirement

__all__ = [
    "Bill",
    "BillLine",
    "Design",
    "FirmFigure",
    "Intake",
    "IntakeFile",
    "Material",
    "Pack",
    "Rate",
    "Requirement",
    "StockUnit",
    "UseMethod",
]
