from django.urls import path

from workshop.bows import views

urlpatterns = [
    path("", views.index, name="bench"),
]
