from django.apps import AppConfig


class StavesConfig(AppConfig):
    name = "workshop.staves"
    label = "staves"

    def ready(self):
        from workshop.staves.services import pieces, works  # noqa: F401  (they listen for what is struck out)
