"""All addresses: each room's own, and the desk's."""

from django.urls import include, path

urlpatterns = [
    path("", include("clients.urls")),
    path("", include("programs.urls")),
    path("", include("submissions.urls")),
]
