from django.urls import path

from submissions import api

urlpatterns = [
    path("uploads/", api.uploads, name="uploads"),
    path("uploads/<uuid:upload_uuid>/", api.upload, name="upload"),
]
