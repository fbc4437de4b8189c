from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models.base import LedgerQuerySet


class Role(models.TextChoices):
    OWNER = "owner", _("owner")
    MAKER = "maker", _("maker")
    HELPER = "helper", _("helper")


class UnitSystem(models.TextChoices):
    SHOP = "", _("as the workshop")
    IMPERIAL = "imperial", _("inches and pounds")
    METRIC = "metric", _("centimetres and kilograms")


class MemberManager(BaseUserManager.from_queryset(LedgerQuerySet)):
    def get_by_natural_key(self, username):
        return self.get(username__iexact=username)


class Member(AbstractBaseUser):
    """Somebody inside the workshop, who signs entries. Never deleted; one who leaves is closed (`is_active`)."""

    username = models.CharField(_("sign-in name"), max_length=60, unique=True)
    name = models.CharField(_("name, as it signs"), max_length=80)
    role = models.CharField(_("role"), max_length=10, choices=Role, default=Role.HELPER)
    units = models.CharField(_("units"), max_length=10, choices=UnitSystem, default="", blank=True)
    is_active = models.BooleanField(_("may sign in"), default=True)
    made_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name"]
    objects = MemberManager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(Lower("username"), name="one_member_per_sign_in_name"),
            models.CheckConstraint(condition=models.Q(role__in=Role.values), name="member_has_a_known_role"),
        ]

    def __str__(self):
        return self.name

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER
