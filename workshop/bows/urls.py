from django.urls import path

from workshop.bows import views
from workshop.bows.weighing.urls import weighing_urls

urlpatterns = [
    path("", views.index, name="bench"),
    *weighing_urls,
]
