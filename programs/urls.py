from django.urls import path

from programs import api
from programs.views import block_sessions, blocks, day_lists, instead, movements, own_library, publishing, training

urlpatterns = [
    path("clients/<uuid:client_uuid>/blocks/", blocks.client_blocks, name="client-blocks"),
    path("blocks/<uuid:block_uuid>/", blocks.block, name="block"),
    path("blocks/<uuid:block_uuid>/sessions/", blocks.add_session, name="add-block-session"),
    path("blocks/<uuid:block_uuid>/copy-week/", blocks.copy_week, name="copy-block-week"),
    path("blocks/<uuid:block_uuid>/revise/", blocks.revise_block, name="revise-block"),
    path("blocks/<uuid:block_uuid>/publish/", publishing.publish, name="publish-block"),
    path("blocks/<uuid:block_uuid>/sessions/<uuid:session_uuid>/", block_sessions.block_session, name="block-session"),
    path(
        "blocks/<uuid:block_uuid>/sessions/<uuid:session_uuid>/check/",
        block_sessions.block_session_check,
        name="check-block-session",
    ),
    path(
        "blocks/<uuid:block_uuid>/sessions/<uuid:session_uuid>/remove/",
        blocks.remove_session,
        name="remove-block-session",
    ),
    path("me/blocks/<uuid:block_uuid>/", blocks.my_block, name="my-block"),
    path("movements/", movements.movements, name="movements"),
    path("movements/search/", movements.movement_search, name="movement-search"),
    path("movements/new/", own_library.own_movement, name="new-movement"),
    path("movements/<uuid:movement_uuid>/ours/", own_library.own_movement, name="own-movement"),
    path("movements/<uuid:movement_uuid>/hide/", own_library.hide, name="hide-movement"),
    path("lines/", own_library.lines, name="lines"),
    path("lines/new/", own_library.own_line, name="new-line"),
    path("lines/<uuid:line_uuid>/", own_library.own_line, name="own-line"),
    path("movements/<uuid:movement_uuid>/", movements.movement, name="movement"),
    path("today/", training.today, name="today"),
    path("days/", day_lists.my_days, name="my-days"),
    path("days/excuse/", day_lists.excuse_my_days, name="excuse-my-days"),
    path("clients/<uuid:client_uuid>/days/", day_lists.client_days, name="client-days"),
    path("clients/<uuid:client_uuid>/days/excuse/", day_lists.excuse_client_days, name="excuse-client-days"),
    path(
        "clients/<uuid:client_uuid>/days/<uuid:scheduled_uuid>/move/",
        day_lists.move_client_session,
        name="move-client-session",
    ),
    path("excuses/<uuid:excuse_uuid>/take-back/", day_lists.take_excuse_back, name="take-back-excuse"),
    path("train/<uuid:scheduled_uuid>/", training.train, name="train"),
    path("train/<uuid:scheduled_uuid>/instead/<uuid:prescription_uuid>/", instead.train_instead, name="train-instead"),
    path("clients/<uuid:client_uuid>/could-do/<uuid:prescription_uuid>/", instead.could_do, name="could-do"),
    path("train/<uuid:scheduled_uuid>/log/", training.train_log, name="train-log"),
    path("train/<uuid:scheduled_uuid>/pain/", training.train_pain, name="train-pain"),
    path("train/<uuid:scheduled_uuid>/move/", training.move, name="move-session"),
    path("train/<uuid:scheduled_uuid>/take-skip-back/", day_lists.take_skip_back, name="take-skip-back"),
    path("api/log/", api.log, name="api-log"),
]
