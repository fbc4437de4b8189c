from django.apps import AppConfig


class BowsConfig(AppConfig):
    name = "workshop.bows"
    label = "bows"

    def ready(self):
        from workshop.bows.services import pieces  # noqa: F401  (listens for a piece struck out, for wood that steps)
