from django.urls import path

from workshop.orders.views import book, handover, persons

urlpatterns = [
    path("", book.index, name="order-book"),
    path("new", book.add, name="order-add"),
    path("<int:pk>", book.show, name="order"),
    path("<int:pk>/change", book.change, name="order-change"),
    path("<int:pk>/step", book.step, name="order-step"),
    path("<int:pk>/line", book.add_line, name="line-add"),
    path("<int:pk>/payment", book.pay, name="payment-add"),
    path("lines/<int:pk>/change", book.change_line, name="line-change"),
    path("lines/<int:pk>/withdraw", book.withdraw_line, name="line-withdraw"),
    path("lines/<int:pk>/wood", handover.suits, name="line-suits"),
    path("lines/<int:pk>/start", handover.start, name="line-start"),
    path("lines/<int:pk>/take", handover.join, name="line-join"),
    path("bows/<int:pk>/deliver", handover.deliver, name="deliver"),
    path("bows/<int:pk>/visit", handover.visit, name="visit-add"),
    path("visits/<int:pk>/end", handover.end_visit, name="visit-end"),
    path("persons", persons.list_all, name="persons"),
    path("persons/new", persons.add, name="person-add"),
    path("persons/<int:pk>", persons.show, name="person"),
    path("persons/<int:pk>/change", persons.change, name="person-change"),
    path("persons/<int:pk>/measure", persons.measure, name="measure-add"),
    path("persons/<int:pk>/nameless", persons.make_nameless, name="person-nameless"),
]
