"""Emergency numbers by country, from memory; where a country is not listed the page says "your local number".

Most of Europe answers 112 (Decision 91/396/EEC); the rest are the countries' own general numbers.
"""

EUROPE_112 = [
    *("AT", "BE", "BG", "CH", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IS"),
    *("IT", "LI", "LT", "LU", "LV", "MT", "NL", "NO", "PL", "PT", "RO", "SE", "SI", "SK", "TR", "UA"),
]

EMERGENCY_NUMBERS = dict.fromkeys(EUROPE_112, "112") | {
    "AU": "000",
    "BR": "192",
    "CA": "911",
    "GB": "999",
    "IN": "112",
    "JP": "119",
    "MX": "911",
    "NZ": "111",
    "US": "911",
    "ZA": "112",
}


def emergency_number(country: str) -> str | None:
    return EMERGENCY_NUMBERS.get(country.upper())
