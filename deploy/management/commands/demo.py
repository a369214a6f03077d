"""`manage.py demo`: everything set up and running on this machine, with demo data."""

import threading
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import CommandError, call_command
from django.core.management.base import BaseCommand
from honcho.manager import Manager

from deploy.demo import address, processes, tls, trial
from deploy.demo.processes import Place


class Command(BaseCommand):
    help = "Set up a demo on this machine and serve it: database, demo data, web server, worker."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, help="port to listen on (8000)")
        parser.add_argument("--check", action="store_true", help="start, try pages and a job, stop")
        parser.add_argument("--phone", action="store_true", help="serve the local network over TLS")
        parser.add_argument("--address", help="with --phone: this machine's address on the network")

    def handle(self, *_: Any, **options: Any) -> None:
        place = self._place(options)
        self._prepare()
        self.stdout.write(f"\nPourtally is served at {place.url}  (Ctrl-C stops it)")
        if place.tls:
            self._tell_phone(place)
        manager = processes.manager(place)
        if options["check"]:
            self._try(manager, place)
            return
        code = processes.run(manager)
        if code:
            raise CommandError(f"One of the processes ended by itself (code {code}); see its lines above.")
        self.stdout.write("Stopped. The data stays in .run; the same command goes on with it.")

    def _place(self, options: dict[str, Any]) -> Place:
        """Where to listen: this machine alone, or with --phone its network."""
        host = "0.0.0.0" if options["phone"] else "127.0.0.1"  # noqa: S104 - asked for by --phone, over TLS
        port = options["port"] or (address.any_free_port() if options["check"] else 8000)
        try:
            address.require_free(host, port)
        except address.PortTakenError as fault:
            raise CommandError(str(fault)) from fault
        if not options["phone"]:
            return Place(host=host, port=port)
        found = options["address"] or address.on_local_network()
        if found is None:
            raise CommandError(
                "This machine has no address on a network. Join one, or name it with --address."
            )
        names = (found, "localhost", "127.0.0.1")
        return Place(
            host=host, port=port, names=names, tls=tls.prepare(settings.RUN / "tls", names=list(names))
        )

    def _prepare(self) -> None:
        """Bring database, demo data and static files up to date; all of it may be done again."""
        self.stdout.write("Preparing the database …")
        call_command("migrate", verbosity=0)
        self.stdout.write("Loading the demo data (only into an empty database) …")
        call_command("load_demo")
        self.stdout.write("Collecting the pages' files …")
        call_command("collectstatic", interactive=False, verbosity=0)

    def _tell_phone(self, place: Place) -> None:
        if place.tls is None:
            return
        self.stdout.write(
            "\nOn the phone, once: open the address above, go on past the warning, then open "
            f"{place.url}certificate/ and install the file as a trusted authority\n"
            "  Android: Settings, Security, Encryption and credentials, Install a certificate, CA.\n"
            "  iPhone: open the profile, install it in Settings, General, VPN and device management, then\n"
            "          switch it on in Settings, General, About, Certificate trust settings.\n"
            f"Compare its SHA-256 before you trust it: {place.tls.fingerprint}\n"
            "Without this a browser gives neither camera nor offline storage."
        )

    def _try(self, manager: Manager, place: Place) -> None:
        """Run the trial beside the processes and stop them after it."""
        faults: list[str] = []

        def attempt() -> None:
            try:
                trial.run(place, say=self.stdout.write)
            except (trial.TrialError, OSError) as fault:
                faults.append(str(fault))
            finally:
                manager.terminate()

        thread = threading.Thread(target=attempt, name="trial", daemon=True)
        thread.start()
        processes.run(manager)
        thread.join(timeout=5)
        if faults or thread.is_alive():
            raise CommandError(f"The trial failed: {faults[0] if faults else 'it did not end'}")
