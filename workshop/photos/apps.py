from django.apps import AppConfig


class PhotosConfig(AppConfig):
    name = "workshop.photos"
    label = "photos"
