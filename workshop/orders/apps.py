from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "workshop.orders"
    label = "orders"
