from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "workshop.orders"
    label = "orders"

    def ready(self):
        from workshop.orders.services import handover  # noqa: F401  (listens for a hand-over that is struck out)
