from django.urls import path

from workshop.ledger import accounts, views

urlpatterns = [
    path("sign-in", accounts.sign_in, name="sign-in"),
    path("sign-out", accounts.sign_out, name="sign-out"),
    path("strike/<str:label>/<int:pk>", views.strike_out, name="strike-out"),
    path("strike/<str:label>/<int:pk>/reason", views.strike_reason, name="strike-reason"),
    path("history/<str:label>/<int:pk>", views.record_history, name="record-history"),
]
