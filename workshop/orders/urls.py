from django.urls import path

from workshop.orders import views

urlpatterns = [
    path("", views.index, name="order-book"),
]
