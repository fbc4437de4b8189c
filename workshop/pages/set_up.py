"""An empty ledger becomes a workshop's: its owner signs in for the first time."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.core.exceptions import ValidationError
from django.db import transaction
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from workshop.bows.services.classrules import class_rules_seed
from workshop.ledger.setup import code_fits, code_spend, workshop_set_up
from workshop.ledger.setup_forms import SetUpForm
from workshop.ledger.units import UnitsInUse
from workshop.ledger.views import deed
from workshop.staves.services import timbers_seed


@sensitive_post_parameters("password", "code")
@require_http_methods(["GET", "POST"])
def set_up(request):
    """The first page of an empty ledger. Whoever can read the terminal may set it up, nobody else."""
    if request.shop is not None:
        return redirect("today")
    request.units = UnitsInUse()

    def save(form):
        if not code_fits(settings.DATA_DIR, form.cleaned_data["code"]):
            raise ValidationError({"code": _("This is not the code the terminal shows.")}, code="code")
        said = form.cleaned_data
        with transaction.atomic():
            owner = workshop_set_up(
                shop=form.shop(),
                by_name=said["owner_name"],
                username=said["username"],
                password=said["password"],
            )
            timbers_seed(by=owner)
            class_rules_seed(by=owner)
        code_spend(settings.DATA_DIR)
        login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
        messages.success(
            request, _("The ledger is yours. Begin with the wood: a felling, a purchase or a gift.")
        )

    return deed(
        request,
        form_class=SetUpForm,
        save=save,
        title=_("Set up the workshop"),
        lead=_("This ledger is empty. Say whose workshop it is; everything can be changed later."),
        button=_("Open the ledger"),
        back="/",
        context={"back": ""},  # there is nowhere to go back to yet
    )
