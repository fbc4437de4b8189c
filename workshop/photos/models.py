from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models import Entry


class Photo(Entry):
    """A picture: two WebP files under the photo folder, named by chance; no byte of the upload is kept."""

    master = models.CharField(max_length=80, editable=False)
    display = models.CharField(max_length=80, editable=False)
    width_px = models.PositiveIntegerField(editable=False)
    height_px = models.PositiveIntegerField(editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    caption = models.CharField(_("what it shows"), max_length=200)

    class Meta(Entry.Meta):
        abstract = True

    def __str__(self):
        return self.caption
