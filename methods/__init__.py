"""Published methods as pure functions: numbers in, numbers or frozen dataclasses out.

No Django, no files, no clock. A bad argument raises ValueError with the reason; a statistic that has no value
returns Undefined(reason). Symbols are listed in NOMENCLATURE.md, sources in REFERENCES.md.
"""
