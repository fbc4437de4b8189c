from django.apps import AppConfig


class StavesConfig(AppConfig):
    name = "workshop.staves"
    label = "staves"

    def ready(self):
        from workshop.staves.services import works  # noqa: F401  (listens for work that is struck out)
