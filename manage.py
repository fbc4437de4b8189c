#!/usr/bin/env python3
"""Run the workshop ledger's commands: `manage.py serve`, `manage.py backup`, ..."""

import os
import sys

from workshop import folder


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    try:
        folder.turn_to_demo(sys.argv, os.environ)
        folder.prepare(folder.of_environment(os.environ))
    except folder.Refused as refusal:
        sys.exit(str(refusal))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
