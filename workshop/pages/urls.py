from django.urls import path

from workshop.pages import hub, set_up, views
from workshop.pages.backup import views as backup_views

urlpatterns = [
    path("", views.today, name="today"),
    path("set-up", set_up.set_up, name="set-up"),
    path("favicon.ico", views.mark, name="mark"),
    path("find", views.search, name="search"),
    path("year", views.year_book, name="year-book"),
    path("workshop", hub.workshop, name="workshop"),
    path("workshop/backup", backup_views.backup, name="backup"),
    path("workshop/backup/<str:name>", backup_views.backup_file, name="backup-file"),
    path("workshop/tables", backup_views.export, name="export"),
]
