"""Names that only one record bears."""

from django.core.exceptions import ValidationError
from django.db import DEFAULT_DB_ALIAS, models


class OneBearer(models.UniqueConstraint):
    """One record bears a name, in small letters or in capitals: `OneBearer(Lower("tag"), name=..., ...)`.

    The database holds to it as it does to any such constraint, but SQLite folds ASCII letters alone and would keep É-1
    beside é-1, which PostgreSQL refuses. What is refused is said beside the field.
    """

    def deconstruct(self):
        _path, args, kwargs = super().deconstruct()
        return "django.db.models.UniqueConstraint", args, kwargs

    @property
    def field(self) -> str:
        (lower,) = self.expressions
        (column,) = lower.source_expressions
        return column.name

    def validate(self, model, instance, exclude=None, using=DEFAULT_DB_ALIAS):
        if self.field in (exclude or ()):
            return
        text = getattr(instance, self.field)
        others = model._default_manager.using(using).exclude(pk=instance.pk)
        if text.isascii():
            taken = others.filter(**{f"{self.field}__iexact": text}).exists()
        else:
            folded = text.casefold()
            taken = any(other.casefold() == folded for other in others.values_list(self.field, flat=True))
        if taken:
            raise ValidationError(
                {self.field: ValidationError(self.get_violation_error_message(), code="unique")}
            )
