import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.settings.production")
application = get_wsgi_application()

from coaching.serving import gate  # noqa: E402 -- needs the apps

gate.enter()
