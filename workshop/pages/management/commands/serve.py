"""`manage.py serve`: everything from an empty folder to the first page, and nothing twice."""

import logging
import signal
import threading

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import DatabaseError, connection

from workshop.folder import Refused
from workshop.ledger import serving
from workshop.ledger.guards import expected_guards, listed_guards, put_guards
from workshop.ledger.models import Shop
from workshop.ledger.setup import code_make
from workshop.pages.backup import daily, states
from workshop.pages.backup.dump import backup_before_migrating


class Command(BaseCommand):
    help = "Prepare the data folder and serve the ledger. Stop with Ctrl-C."

    def add_arguments(self, parser):
        parser.add_argument("--listen", default="127.0.0.1:8000", metavar="HOST:PORT")
        parser.add_argument(
            "--demo", action="store_true", help="serve an invented workshop from a folder of its own"
        )

    def handle(self, *args, listen, demo, **options):
        # A shell starts what it puts in the background with Ctrl-C ignored; this server stops all the same.
        for ending in (signal.SIGINT, signal.SIGTERM):
            signal.signal(ending, signal.default_int_handler)
        try:
            if demo and not settings.DEMO:
                raise Refused("The demo has a folder of its own; write --demo in full to be led there.")
            host, port = serving.read_address(listen)
            lock = serving.lock_folder(settings.DATA_DIR)
            with lock, serving.take_port(host, port) as taken:
                self.prepare(demo)
                self.serve(taken, host, port)
        except Refused as refusal:
            raise SystemExit(str(refusal)) from None
        except KeyboardInterrupt:
            self.say("Stopped.")

    def say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()

    def prepare(self, demo: bool) -> None:
        """The database brought up to date, its guards standing, the static files collected."""
        self.say(f"The ledger lies in {settings.DATA_DIR}")
        try:
            pending = states.pending(connection)
        except DatabaseError as error:
            raise Refused(f"The database cannot be opened: {str(error).strip()}.") from error
        if pending:
            kept = backup_before_migrating()
            if kept:
                self.say(f"Kept a backup before changing the database: {kept}")
            self.say("Bringing the database up to date ...")
            call_command("migrate", verbosity=0, interactive=False)
        elif listed_guards() != expected_guards():
            put_guards()
        if serving.collect_static(settings.DATA_DIR):
            self.say("Collected the static files.")
        if demo and not Shop.objects.exists():
            from workshop.pages.demo import build

            self.say("Writing the invented workshop; this takes a little ...")
            accounts = build(tell=self.tell_of_months())
            self.say("Sign in as one of these; the passwords are shown only now:")
            for account in accounts:
                self.say(f"  {account.role:<7} {account.username:<7} {account.password}")

    def tell_of_months(self):
        """Says every third month as it is reached, so that who waits sees it go on."""
        said = set()

        def tell(day) -> None:
            if day.month % 3 == 0 and (day.year, day.month) not in said:
                said.add((day.year, day.month))
                self.say(f"  {day:%B %Y}")

        return tell

    def serve(self, taken, host: str, port: int) -> None:
        from waitress import create_server

        names = serving.own_names(host)
        settings.ALLOWED_HOSTS += names
        from workshop.wsgi import application

        logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a short queue is no news
        scheme = (
            "https" if settings.HTTPS else "http"
        )  # waitress speaks http alone: a proxy before it does the rest
        server = create_server(
            application,
            sockets=[taken],
            threads=8,
            ident=None,
            max_request_body_size=serving.MOST_SENT_BYTES,
            url_scheme=scheme,
        )
        at = [n for n in names if n[0].isdigit()] or names or ["[::1]" if ":" in host else host]
        self.say(
            "Open "
            + " or ".join(f"http://{name}:{port}/" for name in at)
            + " in a browser. Stop with Ctrl-C."
        )
        if not Shop.objects.exists():
            self.say(
                f"The ledger is empty. To set it up, the page asks for this code: {code_make(settings.DATA_DIR)}"
            )
        connection.close()
        threading.Thread(target=daily.keep_watch, name="daily-backup", daemon=True).start()
        server.run()
        self.say("Stopped.")
