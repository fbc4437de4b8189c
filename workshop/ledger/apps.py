from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class LedgerConfig(AppConfig):
    name = "workshop.ledger"
    label = "ledger"

    def ready(self):
        from workshop.ledger import checks  # noqa: F401  (registers the system checks)
        from workshop.ledger.guards import lift_guards, put_guards

        pre_migrate.connect(lift_guards, sender=self)
        post_migrate.connect(put_guards)
