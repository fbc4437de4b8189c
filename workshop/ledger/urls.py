from django.urls import path

from workshop.ledger import accounts, people_views, shop_views, views

urlpatterns = [
    path("sign-in", accounts.sign_in, name="sign-in"),
    path("sign-out", accounts.sign_out, name="sign-out"),
    path("strike/<str:label>/<int:pk>", views.strike_out, name="strike-out"),
    path("strike/<str:label>/<int:pk>/reason", views.strike_reason, name="strike-reason"),
    path("history/<str:label>/<int:pk>", views.record_history, name="record-history"),
    path("workshop/settings", shop_views.change_shop, name="shop-change"),
    path("workshop/terms/add", shop_views.add_terms, name="terms-add"),
    path("workshop/instruments", shop_views.instruments, name="instruments"),
    path("workshop/instruments/add", shop_views.add_instrument, name="instrument-add"),
    path("workshop/instruments/<int:pk>/change", shop_views.change_instrument, name="instrument-change"),
    path("workshop/instruments/<int:pk>/check", shop_views.add_check, name="instrument-check-add"),
    path("workshop/people", people_views.people, name="people"),
    path("workshop/people/add", people_views.add_member, name="member-add"),
    path("workshop/people/<int:pk>/change", people_views.change_member, name="member-change"),
    path("workshop/account", people_views.own_account, name="own-account"),
]
