from django.urls import path

from workshop.bows.weighing import views

weighing_urls = [
    path("<int:pk>/weigh", views.weigh_in_add, name="weigh-in-add"),
    path("<int:pk>/weighings", views.weigh_ins, name="weigh-ins"),
    path("weigh-in/<int:pk>", views.weigh_in, name="weigh-in"),
    path("weigh-in/<int:pk>/point", views.weigh_point_add, name="weigh-point-add"),
    path("weigh-in/<int:pk>/noted", views.weigh_word_note, name="weigh-word-note"),
]
