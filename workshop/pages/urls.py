from django.urls import path

from workshop.pages import set_up, views

urlpatterns = [
    path("", views.today, name="today"),
    path("set-up", set_up.set_up, name="set-up"),
    path("find", views.search, name="search"),
    path("year", views.year_book, name="year-book"),
    path("workshop", views.workshop, name="workshop"),
]
