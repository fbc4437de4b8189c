from django.apps import AppConfig


class PagesConfig(AppConfig):
    name = "workshop.pages"
    label = "pages"
