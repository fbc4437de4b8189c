from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from workshop.bows.forms.bow import BenchFilterForm
from workshop.bows.models.bow import Stage
from workshop.bows.nextstep import step_words
from workshop.bows.selectors.bench import ALL, DELIVERED, ENDINGS, BenchFilter, bench, bench_rows
from workshop.bows.words import against_words
from workshop.ledger.roles import may

PER_PAGE = 40


@require_GET
@may("look")
def index(request):
    """One list of bows in order of stage, each with its next step; those delivered and ended stand apart."""
    form = BenchFilterForm(request.GET or None)
    form.fields["stage"].choices = [
        ("", _("in the shop")),
        *[choice for choice in Stage.choices if choice[0] != Stage.DELIVERED],
        (DELIVERED, Stage.DELIVERED.label),
        (ENDINGS, _("broken or given up")),
        (ALL, _("all of them")),
    ]
    wanted = BenchFilter()
    if form.is_bound:
        form.is_valid()
        said = form.cleaned_data
        wanted = BenchFilter(said.get("stage") or "", said.get("kind") or "", said.get("q") or "")
    page = Paginator(bench(wanted), PER_PAGE).get_page(request.GET.get("page"))
    rows = bench_rows(
        page.object_list, shop=request.shop, today=timezone.localdate(), system=request.units.system
    )
    context = {
        "room": "bench",
        "form": form,
        "narrowed": wanted != BenchFilter(),
        "page": page,
        "rows": [
            (seen, step_words(seen.step, request.units), against_words(seen, request.units)) for seen in rows
        ],
    }
    return render(request, "bows/bench.html", context)
