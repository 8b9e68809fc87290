from django.urls import path

from clients.views import accounts, enquiries, intake, notes, safety

urlpatterns = [
    path("sign-in/", accounts.sign_in, name="sign-in"),
    path("sign-out/", accounts.sign_out, name="sign-out"),
    path("sign-in/once/<str:token>/", accounts.sign_in_once, name="sign-in-once"),
    path("invitations/<str:token>/", accounts.accept, name="accept-invitation"),
    path("mailbox/", accounts.mailbox, name="mailbox"),
    path("enquire/<uuid:practice_uuid>/", enquiries.enquire, name="enquire"),
    path("enquire/<uuid:practice_uuid>/sent/", enquiries.enquiry_sent, name="enquiry-sent"),
    path("enquiries/", enquiries.enquiries, name="enquiries"),
    path("enquiries/<uuid:enquiry_uuid>/", enquiries.enquiry, name="enquiry"),
    path("clients/", accounts.client_list, name="clients"),
    path("clients/invite/", accounts.invite, name="invite-client"),
    path("clients/<uuid:client_uuid>/invite-again/", accounts.invite_again, name="invite-again"),
    path("clients/<uuid:client_uuid>/safety/", safety.client_safety, name="client-safety"),
    path("clients/<uuid:client_uuid>/notes/", notes.client_notes, name="client-notes"),
    path("clients/<uuid:client_uuid>/pinned/", notes.pin, name="pin-lines"),
    path("clients/<uuid:client_uuid>/readers/", notes.client_readers, name="client-readers"),
    path("notes/<uuid:note_uuid>/", notes.note, name="note"),
    path("my/readers/", notes.my_readers, name="my-readers"),
    path("consents/", intake.consents, name="consents"),
    path("intake/", intake.intake, name="intake"),
    path("intake/guardian/", intake.guardian_needed, name="guardian-needed"),
    path("intake/outcome/", intake.outcome, name="outcome"),
    path("intake/<slug:slug>/", intake.intake_step, name="intake-step"),
    path("stop/", intake.stop_and_seek_care, name="stop-and-seek-care"),
    path("pain/", safety.tell_pain, name="report-pain"),
    path("pain/<uuid:pain_uuid>/", safety.pain_told, name="pain-told"),
    path("pain/<uuid:pain_uuid>/morning/", safety.pain_morning, name="pain-morning"),
]
