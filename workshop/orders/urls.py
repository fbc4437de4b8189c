from django.urls import path

from workshop.orders.views import book, handover, lines, persons

urlpatterns = [
    path("", book.index, name="order-book"),
    path("new", book.add, name="order-add"),
    path("<int:pk>", book.show, name="order"),
    path("<int:pk>/change", book.change, name="order-change"),
    path("<int:pk>/step", book.step, name="order-step"),
    path("<int:pk>/payment", book.pay, name="payment-add"),
    path("<int:pk>/refund", book.give_back, name="refund-add"),
    path("<int:pk>/line", lines.add, name="line-add"),
    path("lines/<int:pk>/change", lines.change, name="line-change"),
    path("lines/<int:pk>/withdraw", lines.withdraw, name="line-withdraw"),
    path("lines/<int:pk>/wood", lines.suits, name="line-suits"),
    path("lines/<int:pk>/start", handover.start, name="line-start"),
    path("lines/<int:pk>/take", handover.join, name="line-join"),
    path("lines/<int:pk>/deliver", handover.deliver_line, name="line-deliver"),
    path("bows/<int:pk>/deliver", handover.deliver, name="deliver"),
    path("bows/<int:pk>/visit", handover.visit, name="visit-add"),
    path("visits/<int:pk>/finding", handover.find, name="visit-find"),
    path("visits/<int:pk>/end", handover.end_visit, name="visit-end"),
    path("persons", persons.list_all, name="persons"),
    path("persons/new", persons.add, name="person-add"),
    path("persons/<int:pk>", persons.show, name="person"),
    path("persons/<int:pk>/change", persons.change, name="person-change"),
    path("persons/<int:pk>/measure", persons.measure, name="measure-add"),
    path("persons/<int:pk>/nameless", persons.make_nameless, name="person-nameless"),
]
