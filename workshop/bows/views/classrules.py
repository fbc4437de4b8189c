"""The class rules of the workshop: listed, added, changed, taken out of use. A setting: the owner's."""

from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.bows.classwords import limit_words
from workshop.bows.forms.classrules import ClassRuleForm
from workshop.bows.models.classrules import ClassRule, RuleKind
from workshop.bows.services.classrules import class_rule_add, class_rule_change
from workshop.ledger.roles import may
from workshop.ledger.views import deed

ROOM = {"room": "workshop"}


@require_GET
@may("settings")
def index(request):
    rules = ClassRule.objects.order_by("-in_use", "name")
    told = [(rule, limit_words(rule, request.units)) for rule in rules]
    return render(request, "bows/class_rules.html", {"rules": told, "kinds": list(RuleKind), **ROOM})


@require_http_methods(["GET", "POST"])
@may("settings")
def add(request, kind):
    """A rule of one kind: the page asks only for what the kind sets."""
    if kind not in RuleKind.values:
        raise Http404
    return deed(
        request,
        form_class=ClassRuleForm,
        kind=kind,
        save=lambda form: class_rule_add(by=request.user, kind=kind, **form.values()),
        title=_("A class rule: %(kind)s") % {"kind": RuleKind(kind).label},
        back=reverse("class-rules"),
        said=_("Written down."),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("settings")
def change(request, pk):
    rule = get_object_or_404(ClassRule, pk=pk)
    return deed(
        request,
        form_class=ClassRuleForm,
        kind=rule.kind,
        save=lambda form: class_rule_change(
            rule=rule, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=rule.name,
        lead=rule.get_kind_display().capitalize() + ".",
        back=reverse("class-rules"),
        said=_("Written down."),
        initial={name: getattr(rule, name) for name in ClassRuleForm.base_fields},
        context=ROOM,
    )
