from django.apps import AppConfig


class StavesConfig(AppConfig):
    name = "workshop.staves"
    label = "staves"
