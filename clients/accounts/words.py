"""A device in plain words, from what its browser says about itself. A hint for its owner, never a proof."""

from django.utils.translation import gettext as _

# In this order: most browsers also name those they descend from.
BROWSERS = [
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox/", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
]
SYSTEMS = [
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("CrOS", "ChromeOS"),
    ("Windows", "Windows"),
    ("Mac OS X", "Mac"),
    ("Linux", "Linux"),
]


def device_words(user_agent: str) -> str:
    """For example "Firefox on Windows"."""
    browser, system = _first(BROWSERS, user_agent), _first(SYSTEMS, user_agent)
    if browser and system:
        return _("%(browser)s on %(system)s") % {"browser": browser, "system": system}
    return browser or system or _("a device that does not say what it is")


def _first(names: list[tuple[str, str]], user_agent: str) -> str:
    return next((name for sign, name in names if sign in user_agent), "")
