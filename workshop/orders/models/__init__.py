from workshop.orders.models.orders import Delivery, Order, OrderLine, OrderMove, Payment, StartedBow
from workshop.orders.models.papers import IssuedPaper
from workshop.orders.models.persons import ArcherMeasure, Ownership, Person
from workshop.orders.models.visits import Visit

__all__ = [
    "ArcherMeasure",
    "Delivery",
    "IssuedPaper",
    "Order",
    "OrderLine",
    "OrderMove",
    "Ownership",
    "Payment",
    "Person",
    "StartedBow",
    "Visit",
]
