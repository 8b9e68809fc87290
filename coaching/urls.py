"""All addresses: each room's own, and the desk's."""

from django.conf import settings
from django.urls import include, path
from django.views.generic import TemplateView

from coaching import health
from coaching.demo.views import sign_in_as
from coaching.views import background_work, client_home, data, desk, progress, state

handler429 = "clients.views.own_account.too_many"

urlpatterns = [
    path("livez", health.livez, name="livez"),
    path("readyz", health.readyz, name="readyz"),
    path("", desk.home, name="home"),
    path("desk/", desk.desk, name="desk"),
    path("desk/attention/<uuid:item_uuid>/put-away/", desk.put_away, name="put-away"),
    path("background-work/", background_work.background_work, name="background-work"),
    path("background-work/<uuid:job_uuid>/try-again/", background_work.try_again, name="try-job-again"),
    path("background-work/<uuid:job_uuid>/seen/", background_work.mark_seen, name="job-seen"),
    path("clients/<uuid:client_uuid>/", progress.client_progress, name="client"),
    path("clients/<uuid:client_uuid>/accept-all/", progress.decide_all, name="accept-all-suggestions"),
    path("clients/<uuid:client_uuid>/next-block/", progress.next_block, name="next-block"),
    path("clients/<uuid:client_uuid>/state/", state.client_state, name="client-state"),
    path("clients/<uuid:client_uuid>/body-mass/", state.client_body_mass, name="client-body-mass"),
    path("clients/<uuid:client_uuid>/reminders/", state.client_reminders, name="client-reminders"),
    path("suggestions/<uuid:suggestion_uuid>/decide/", progress.decide, name="decide-suggestion"),
    path("me/", client_home.my_home, name="my-home"),
    path("me/progress/", progress.my_progress, name="my-progress"),
    path("me/data/", data.my_data, name="my-data"),
    path("me/leave/", data.leave, name="leave"),
    path("clients/<uuid:client_uuid>/data/", data.client_data, name="client-data"),
    path("copies/<uuid:copy_uuid>/", data.data_copy, name="data-copy"),
    path("demo/sign-in/<uuid:user_uuid>/", sign_in_as, name="demo-sign-in"),
    path("", include("clients.urls")),
    path("", include("programs.urls")),
    path("", include("submissions.urls")),
]

if settings.DEMO:
    urlpatterns.append(path("styleguide/", TemplateView.as_view(template_name="styleguide.html"), name="styleguide"))
