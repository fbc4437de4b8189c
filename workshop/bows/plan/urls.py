from django.urls import path

from workshop.bows.plan import adoptviews, views

plan_urls = [
    path("<int:pk>/plan-sheet", views.sheet, name="bow-plan-sheet"),
    path("<int:pk>/plan-sheet/stations", views.set_stations, name="bow-plan-stations"),
    path("<int:pk>/plan-sheet/outline", views.measure_section, name="bow-plan-outline"),
    path("<int:pk>/plan-sheet/bring", views.bring, name="bow-plan-bring"),
    path("<int:pk>/plan-sheet/adopt", adoptviews.adopt, name="bow-plan-adopt"),
    path("<int:pk>/plan-sheet/begin", views.begin, name="bow-plan-begin"),
]
