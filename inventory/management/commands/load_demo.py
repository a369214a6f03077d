from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from inventory.management.demo import firm
from inventory.management.demo.clerk import Clerk
from inventory.management.demo.scenario import Story
from projects.queries import people


class Command(BaseCommand):
    """Fill an empty database with the invented firm of the demo, or leave it as it is."""

    help = "Load the demo firm into an empty database and print its sign-ins."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--quiet-sign-ins", action="store_true", help="do not print who signs in how")

    def handle(self, *args: Any, **options: Any) -> None:
        del args
        if not settings.DEMO_PEOPLE:
            message = "The demo firm is only for a demo: set POURTALLY_DEMO=1 to load it."
            raise CommandError(message)
        if people.anybody():
            self.stdout.write("The database has people in it already; they keep their data.")
        else:
            self._load()
        if not options["quiet_sign_ins"]:
            self._print_sign_ins()

    def _load(self) -> None:
        self.stdout.write("Writing the demo firm: 3 sites, 6 slabs ...")
        clerk = Clerk(today=timezone.localtime())
        with transaction.atomic():
            Story(clerk=clerk, crew=firm.found(clerk)).tell()
        self.stdout.write(f"Written in {clerk.acts} acts.")

    def _print_sign_ins(self) -> None:
        self.stdout.write("Sign in as:")
        for person in settings.DEMO_PEOPLE:
            self.stdout.write(
                f"  {person['sign_in']:<8} {person['password']:<20} {person['name']}, {person['role']}"
            )
