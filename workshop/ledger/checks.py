"""System checks: what must be right before the ledger serves."""

from django.core.checks import Error, register
from PIL import features


@register()
def pictures_can_be_written(app_configs, **kwargs):
    if features.check("webp"):
        return []
    return [Error("Pillow on this machine cannot write WebP pictures.", id="ledger.E001")]
