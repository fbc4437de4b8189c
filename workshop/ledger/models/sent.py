"""The mark of a form that was written down, so that its second coming is known. No part of the ledger itself."""

from django.db import models


class SentForm(models.Model):
    key = models.CharField(max_length=32, primary_key=True)  # made with the form's page
    content = models.CharField(max_length=64)  # checksum of all that was sent
    there = models.CharField(max_length=500)  # where it led
    sent_at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self):
        return self.key
