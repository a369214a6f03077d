"""Roles and what each may do: one table."""

from __future__ import annotations

from projects.access.permissions import Permission
from projects.models.person import Role

__all__ = ["ALL_SITES", "PERMISSIONS", "Role"]

PERMISSIONS: dict[Role, frozenset[Permission]] = {
    Role.OFFICE: frozenset(Permission) - {Permission.APPROVE_LARGE_ORDERS, Permission.SEE_AUDIT},
    Role.SITE: frozenset(
        {
            Permission.SEE_SITES,
            Permission.CALL_OFF,
            Permission.BUY_FOR_CASH,
            Permission.RECORD_RECEIPTS,
            Permission.MOVE_STOCK,
            Permission.PLAN_CUTTING,
            Permission.COUNT_STOCK,
            Permission.LOG_POURS,
        }
    ),
    Role.OWNER: frozenset(
        {
            Permission.SEE_SITES,
            Permission.SEE_MONEY,
            Permission.SEE_AUDIT,
            Permission.APPROVE_ORDERS,
            Permission.APPROVE_LARGE_ORDERS,
            Permission.SETTLE_SUPPLIER_BILLS,
            Permission.APPROVE_COUNTS,
        }
    ),
}

ALL_SITES: frozenset[Role] = frozenset({Role.OFFICE, Role.OWNER})
"""Roles that see every site of the firm; a site manager sees only the sites named in the membership."""
