from django.urls import include, path

from tests.faults.served import views

urlpatterns = [
    path("faults/ask/", views.ask),
    path("faults/state/", views.state),
    path("faults/unfinished/", views.unfinished),
    path("faults/running/", views.running),
    path("faults/signs/", views.signs),
    path("", include("coaching.urls")),
]
