from django.apps import AppConfig


class DocumentsConfig(AppConfig):
    name = "workshop.documents"
    label = "documents"
