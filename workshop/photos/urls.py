from django.urls import path, register_converter

from workshop.photos import views


class Size:
    regex = "master|display"

    def to_python(self, value):
        return value

    def to_url(self, value):
        return value


register_converter(Size, "photo_size")

urlpatterns = [path("<str:label>/<int:pk>/<photo_size:size>", views.photo, name="photo")]
