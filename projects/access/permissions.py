"""What an actor may be allowed to do; one word per kind of act."""

from __future__ import annotations

from enum import StrEnum


class Permission(StrEnum):
    """A kind of act; roles.PERMISSIONS says which role has which."""

    SEE_SITES = "see_sites"
    SEE_MONEY = "see_money"
    SEE_AUDIT = "see_audit"
    EDIT_SITES = "edit_sites"
    EDIT_DESIGNS = "edit_designs"
    ISSUE_BILLS = "issue_bills"
    SET_RATES = "set_rates"
    SET_FIGURES = "set_figures"
    PLAN_POURS = "plan_pours"
    EDIT_SUPPLIERS = "edit_suppliers"
    PLAN_ORDERS = "plan_orders"
    CALL_OFF = "call_off"
    APPROVE_ORDERS = "approve_orders"
    APPROVE_LARGE_ORDERS = "approve_large_orders"
    BUY_FOR_CASH = "buy_for_cash"
    ENTER_SUPPLIER_BILLS = "enter_supplier_bills"
    SETTLE_SUPPLIER_BILLS = "settle_supplier_bills"
    PAY_SUPPLIERS = "pay_suppliers"
    RECORD_RECEIPTS = "record_receipts"
    MOVE_STOCK = "move_stock"
    PLAN_CUTTING = "plan_cutting"
    COUNT_STOCK = "count_stock"
    APPROVE_COUNTS = "approve_counts"
    SETTLE_HELD = "settle_held"
    LOG_POURS = "log_pours"
