from django.apps import AppConfig


class BowsConfig(AppConfig):
    name = "workshop.bows"
    label = "bows"
