from django.urls import path

from submissions import api
from submissions.views import absence, check_ins, clips, demonstrations, desk, filming, mine

urlpatterns = [
    path("train/<uuid:scheduled_uuid>/film/<uuid:prescription_uuid>/", filming.upload_clip, name="upload-clip"),
    path("uploads/", api.uploads, name="uploads"),
    path("uploads/<uuid:upload_uuid>/", api.upload, name="upload"),
    path("queue/", desk.queue, name="queue"),
    path("queue/<uuid:submission_uuid>/", desk.review, name="review"),
    path("queue/<uuid:submission_uuid>/read/", check_ins.check_in_read, name="check-in-read"),
    path("check-in/", check_ins.check_in, name="check-in"),
    path("check-ins/", check_ins.my_check_ins, name="my-check-ins"),
    path("reviews/<uuid:review_uuid>/correct/", desk.correct, name="correct-review"),
    path("reviews/<uuid:review_uuid>/seen/", mine.review_seen, name="review-seen"),
    path("clips/", mine.my_clips, name="my-clips"),
    path("clips/<uuid:clip_uuid>/film/", clips.clip_file, name="clip-file"),
    path("clips/<uuid:clip_uuid>/poster/", clips.clip_poster, name="clip-poster"),
    path("clips/<uuid:clip_uuid>/frames/", clips.clip_frames, name="clip-frames"),
    path("movements/<uuid:movement_uuid>/shown/", demonstrations.demonstration, name="demonstration"),
    path("demonstrations/<uuid:clip_uuid>/film/", demonstrations.film, name="demonstration-film"),
    path("demonstrations/<uuid:clip_uuid>/poster/", demonstrations.poster, name="demonstration-poster"),
    path("demonstrations/<uuid:clip_uuid>/change/", demonstrations.change, name="change-demonstration"),
    path("answers/<uuid:submission_uuid>/", mine.my_review, name="my-review"),
    path("away/", absence.absences, name="absences"),
    path("away/<uuid:absence_uuid>/end/", absence.end_absence, name="end-absence"),
    path("ask/", mine.ask, name="ask"),
]
