"""`manage.py check_ledger`: are photos, papers and guards all in place?"""

from django.core.management.base import BaseCommand

from workshop.pages.backup.check import findings


class Command(BaseCommand):
    help = (
        "Look whether every photo and paper is there and as it was, and whether the database's guards stand."
    )

    def handle(self, *args, **options):
        found = 0
        for line in findings():
            self.stdout.write(line)
            found += 1
        if found:
            raise SystemExit(1)
        self.stdout.write("All is in place.")
