"""Quilts planned and sewn: the plan and its rounds, the cloth allotted and the sheets that hold it, the work log, and what to buy."""

from plans.models.allotment import Allotment, PrintWish
from plans.models.plan import Plan
from plans.models.round import Round
from plans.models.search import LayoutSearch
from plans.models.sheet import CuttingSheet, Miscut, SheetCloth, SheetLine, SheetOffcut
from plans.models.shopping import ShoppingLine
from plans.models.worklog import Sitting, Stage

__all__ = [
    "Allotment",
    "CuttingSheet",
    "LayoutSearch",
    "Miscut",
    "Plan",
    "PrintWish",
    "Round",
    "SheetCloth",
    "SheetLine",
    "SheetOffcut",
    "ShoppingLine",
    "Sitting",
    "Stage",
]
