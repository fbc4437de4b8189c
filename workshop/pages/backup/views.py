"""The backup page: one button, the shelf, the tables to take away. For the owner."""

import datetime as dt
import tempfile

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, Http404
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.folder import Refused
from workshop.ledger import backups
from workshop.ledger.roles import may
from workshop.pages.backup.dump import backup_make
from workshop.pages.backup.export import export_write


@require_http_methods(["GET", "POST"])
@may("settings")
def backup(request):
    if request.method == "POST":
        try:
            made = backup_make(backups.HAND)
        except Refused as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, _("Backed up: %(name)s. Take it away, too.") % {"name": made.name})
        return redirect("backup")
    found = backups.backups()
    newest = found[0] if found else None
    return render(
        request,
        "pages/backup.html",
        {
            "room": "workshop",
            "backups": found,
            "newest": newest,
            "old": newest and timezone.now() - newest.made_at > dt.timedelta(days=2),
            "kept": backups.KEPT,
            "folder": backups.shelf(),
        },
    )


@require_GET
@may("settings")
def backup_file(request, name):
    found = backups.backup_named(name)
    if found is None:
        raise Http404
    return FileResponse(found.path.open("rb"), as_attachment=True, filename=found.name)


@require_GET
@may("settings")
def export(request):
    """The tables are written to a nameless file first, so that they are of one moment and memory stays small."""
    file = tempfile.TemporaryFile(dir=settings.DATA_DIR)  # noqa: SIM115  (the response closes it)
    export_write(file)
    file.seek(0)
    name = f"ledger-tables-{timezone.localdate().isoformat()}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
