from django.urls import path

from workshop.pages import views

urlpatterns = [
    path("", views.today, name="today"),
    path("find", views.search, name="search"),
    path("year", views.year_book, name="year-book"),
    path("workshop", views.workshop, name="workshop"),
]
