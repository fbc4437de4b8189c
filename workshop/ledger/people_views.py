"""People inside the workshop, and everybody's own account."""

from django.contrib.auth import update_session_auth_hash
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.models import Member
from workshop.ledger.people import (
    member_add,
    member_change,
    member_changes,
    member_version,
    own_account_change,
)
from workshop.ledger.people_forms import MemberAddForm, MemberChangeForm, OwnAccountForm
from workshop.ledger.roles import may
from workshop.ledger.views import deed

ROOM = {"room": "workshop"}


@require_GET
@may("settings")
def people(request):
    members = Member.objects.order_by("-is_active", "name")
    return render(request, "ledger/people.html", {"members": members, **ROOM})


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
@may("settings")
def add_member(request):
    return deed(
        request,
        form_class=MemberAddForm,
        save=lambda form: member_add(by=request.user, **form.values()),
        title=_("Take somebody in"),
        lead=_("Tell them the sign-in name and the password; they can change the password themselves."),
        button=_("Take in"),
        back=reverse("people"),
        said=_("Taken in."),
        context=ROOM,
    )


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
@may("settings")
def change_member(request, pk):
    member = get_object_or_404(Member, pk=pk)
    return deed(
        request,
        form_class=MemberChangeForm,
        save=lambda form: member_change(
            member=member, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=member.name,
        lead=_("Signs in as %(name)s. Whoever leaves can no longer sign in; what they signed stays.")
        % {"name": member.username},
        back=reverse("people"),
        said=_("Written down."),
        template="ledger/member_change.html",
        initial={
            "name": member.name,
            "role": member.role,
            "is_active": member.is_active,
            "version": member_version(member),
        },
        context={"changes": member_changes(member), **ROOM},
    )


@sensitive_post_parameters("now", "password")
@require_http_methods(["GET", "POST"])
@may("look")
def own_account(request):
    def save(form):
        member = own_account_change(member=request.user, **form.values())
        update_session_auth_hash(request, member)

    return deed(
        request,
        form_class=OwnAccountForm,
        save=save,
        title=_("Your own account"),
        lead=_("%(name)s, %(role)s, signs in as %(username)s.")
        % {
            "name": request.user.name,
            "role": request.user.get_role_display(),
            "username": request.user.username,
        },
        back=reverse("workshop"),
        said=_("Written down."),
        initial={"units": request.user.units},
        context=ROOM,
    )
