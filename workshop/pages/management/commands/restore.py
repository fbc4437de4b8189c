"""`manage.py restore FILE`: put a backup in the ledger's place."""

from pathlib import Path

from django.core.management.base import BaseCommand

from workshop.folder import Refused
from workshop.pages.backup.restore import restore


class Command(BaseCommand):
    help = "Put a backup back. A damaged or newer one is refused; the ledger that stands now is set aside."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, metavar="FILE")

    def handle(self, *args, file, **options):
        try:
            done = restore(file)
        except Refused as refusal:
            raise SystemExit(str(refusal)) from None
        self.stdout.write(
            f"Restored the ledger of {done.manifest.made_at}: {done.rows} rows, compared line by line."
        )
        for path in done.aside:
            self.stdout.write(f"What stood here before lies in {path}")
        for name in done.manifest.missing:
            self.stdout.write(
                f"The backup never held the photo file {name}; it was missing when it was made."
            )
