from django.apps import apps
from django.http import FileResponse, Http404
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from workshop.ledger.roles import may
from workshop.photos.models import Photo
from workshop.photos.services import photo_path


@require_safe
@may("look")
def photo(request, label, pk, size):
    """One picture, to those who are signed in. Its bytes never change, so a browser may keep it."""
    try:
        model = apps.get_model(label)
    except (LookupError, ValueError) as error:
        raise Http404 from error
    if not issubclass(model, Photo):
        raise Http404
    path = photo_path(get_object_or_404(model, pk=pk), size)
    try:
        answer = FileResponse(path.open("rb"), content_type="image/webp")
    except FileNotFoundError as error:
        raise Http404 from error
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = "inline"
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer
