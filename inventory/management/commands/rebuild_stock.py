"""Compares the balance table with the ledger; with --write puts the ledger's figures back."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from inventory.services import rebuilding


class Command(BaseCommand):
    help = "Compare the stock balances with the sum of the movements. Ends with 1 when they differ."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--firm", type=int, help="number of one firm; all of them without it")
        parser.add_argument("--write", action="store_true", help="write the balances anew from the movements")

    def handle(self, *args: Any, **options: Any) -> None:
        del args
        wrong = 0
        one_firm = options["firm"]
        for firm_id in rebuilding.firm_ids() if one_firm is None else [one_firm]:
            act = rebuilding.rebuild if options["write"] else rebuilding.compare
            differences = act(firm_id)
            wrong += len(differences)
            for one in differences:
                self.stdout.write(
                    f"firm {firm_id}, {one.table} {one.item_id} at place {one.place_id}: "
                    f"kept {one.kept}, ledger {one.ledger}"
                )
        if wrong and not options["write"]:
            message = f"{wrong} balances differ from the ledger. Run with --write to put them right."
            raise CommandError(message)
        done = f"{wrong} balances put right." if wrong else "Balances and ledger agree."
        self.stdout.write(done)
