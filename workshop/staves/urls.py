from django.urls import path

from workshop.staves import views

urlpatterns = [
    path("", views.index, name="wood"),
]
