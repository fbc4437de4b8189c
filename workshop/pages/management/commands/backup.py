"""`manage.py backup [FILE]`: the whole ledger in one zip."""

from pathlib import Path

from django.core.management.base import BaseCommand

from workshop.folder import Refused
from workshop.ledger import backups
from workshop.pages.backup.dump import backup_make


class Command(BaseCommand):
    help = "Write the whole ledger into one zip, also while it is served and others write."

    def add_arguments(self, parser):
        parser.add_argument(
            "file", nargs="?", type=Path, metavar="FILE", help="default: the shelf in the data folder"
        )

    def handle(self, *args, file, **options):
        if file and file.is_dir():
            file = file / backups.name_now(backups.HAND)
        if file and file.exists():
            raise SystemExit(f"The file {file} is there already; nothing was written over it.")
        try:
            self.stdout.write(str(backup_make(backups.HAND, file)))
        except Refused as refusal:
            raise SystemExit(str(refusal)) from None
