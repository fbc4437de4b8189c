from django.urls import path

from workshop.bows.arrows.views import arrows_and_string
from workshop.bows.plan.urls import plan_urls
from workshop.bows.views import bench, bow, classrules, entries
from workshop.bows.weighing.urls import weighing_urls

urlpatterns = [
    path("", bench.index, name="bench"),
    path("new", bow.add, name="bow-add"),
    path("<int:pk>", bow.show, name="bow"),
    path("<int:pk>/change", bow.change, name="bow-change"),
    path("<int:pk>/plan", bow.plan, name="bow-plan"),
    path("<int:pk>/piece", bow.add_piece, name="piece-add"),
    path("<int:pk>/upper", bow.decide_upper, name="upper-decide"),
    path("<int:pk>/stage", bow.step, name="bow-stage"),
    path("<int:pk>/check", bow.tick, name="tick-add"),
    path("<int:pk>/work", entries.add_work, name="work-add"),
    path("<int:pk>/set", entries.add_set, name="set-add"),
    path("<int:pk>/brace", entries.add_brace, name="brace-add"),
    path("<int:pk>/dimensions", entries.add_dimensions, name="dimensions-add"),
    path("<int:pk>/flaw", entries.add_flaw, name="flaw-add"),
    path("<int:pk>/shots", entries.add_shots, name="shots-add"),
    path("<int:pk>/mass", entries.add_mass, name="mass-add"),
    path("<int:pk>/time", entries.add_time, name="time-add"),
    path("<int:pk>/speed", entries.add_speed, name="speed-add"),
    path("<int:pk>/note", entries.add_note, name="bow-note-add"),
    path("<int:pk>/photo", entries.add_photo, name="bow-photo-add"),
    path("flaw/<int:pk>/look", entries.look_at_flaw, name="flaw-look"),
    path("flaw/<int:pk>/settle", entries.settle_flaw, name="bow-flaw-settle"),
    path("<int:pk>/arrows", arrows_and_string, name="bow-arrows"),
    path("class-rules", classrules.index, name="class-rules"),
    path("class-rules/new/<str:kind>", classrules.add, name="class-rule-add"),
    path("class-rules/<int:pk>", classrules.change, name="class-rule-change"),
    *plan_urls,
    *weighing_urls,
]
