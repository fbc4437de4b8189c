"""The people inside the workshop: taken in, changed, closed. What became of each can be read."""

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.models import Change, Member
from workshop.ledger.roles import OWNER
from workshop.ledger.services import Stale
from workshop.ledger.wording import told

MEMBER = Member._meta.label_lower


def member_changes(member: Member) -> models.QuerySet[Change]:
    return Change.objects.filter(record=MEMBER, record_id=member.pk).select_related("by")


def member_version(member: Member) -> int:
    """How often something was written of the member: what a form was read from, and is saved to."""
    return member_changes(member).count()


def _note(member: Member, *, by: Member, deed: str = "", fields: list | None = None) -> None:
    version = member_version(member) + 1
    Change(record=MEMBER, record_id=member.pk, version=version, by=by, deed=deed, fields=fields or []).save()


EASY = {
    "password_too_short": gettext_lazy("This password is too short: at least eight letters and figures."),
    "password_too_common": gettext_lazy("This password is among the first that anybody tries. Take another."),
    "password_too_similar": gettext_lazy("This password is too like the name. Take another."),
}


def check_password(password: str, member: Member, field: str) -> None:
    try:
        validate_password(password, member)
    except ValidationError as error:
        words = [EASY.get(each.code, each.messages[0]) for each in error.error_list]
        raise ValidationError({field: words}) from error


@transaction.atomic
def member_add(*, by: Member | None, username: str, name: str, role: str, password: str) -> Member:
    member = Member(username=username.lower(), name=name, role=role)
    check_password(password, member, "password")
    if Member.objects.filter(username__iexact=member.username).exists():
        raise ValidationError({"username": _("Somebody in the workshop signs in with this name already.")})
    member.set_password(password)
    member.full_clean()
    member.save(force_insert=True)
    _note(member, by=by or member, deed=_("taken in"))
    return member


@transaction.atomic
def member_change(
    *, member: Member, by: Member, seen: int | None = None, password: str = "", **values
) -> Member:
    """Change name, role or whether somebody may sign in, and the password where one is given.

    Like a record, from the version that was `seen`.
    """
    owners = list(Member.objects.select_for_update().filter(role=OWNER, is_active=True).order_by("pk"))
    kept = Member.objects.select_for_update().get(pk=member.pk)
    if seen is not None and (version := member_version(kept)) != seen:
        raise Stale(version, list(member_changes(kept).filter(version__gt=seen)))
    fields = []
    for name, value in values.items():
        was = getattr(kept, name)
        if was == value:
            continue
        setattr(kept, name, value)
        fields.append(told(kept, kept._meta.get_field(name), was, value))
    if owners == [kept] and not (kept.role == OWNER and kept.is_active):
        where = "role" if kept.role != OWNER else "is_active"
        raise ValidationError(
            {where: _("A workshop has at least one owner who may sign in; this is the last.")}
        )
    if password:
        check_password(password, kept, "password")
        kept.set_password(password)
    if fields or password:
        kept.full_clean()
        kept.save()
        _note(kept, by=by, deed=_("password set anew") if password else "", fields=fields)
    return kept


@transaction.atomic
def own_account_change(*, member: Member, units: str, now: str = "", password: str = "") -> Member:
    """Somebody's own units, and own password for who knows the one that holds."""
    kept = Member.objects.select_for_update().get(pk=member.pk)
    if password:
        if not kept.check_password(now):
            raise ValidationError({"now": _("This is not the password that holds now.")})
        check_password(password, kept, "password")
        kept.set_password(password)
        _note(kept, by=kept, deed=_("own password changed"))
    kept.units = units
    kept.full_clean()
    kept.save()
    return kept
