from django.conf import settings
from django.http import HttpRequest


def site(request: HttpRequest) -> dict[str, object]:
    """What every page may need to know about the installation."""
    return {"demo": settings.DEMO}
