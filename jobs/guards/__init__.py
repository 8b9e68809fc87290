"""Rules the database itself keeps, whoever writes to it (docs/decisions/database-guards.md).

They are triggers made from what the models declare, installed after every migrate:

- a model with a `practice` stays in it, and links only to rows of the same practice, or of none (the shared library);
  a model without one may name the way to it: `practice_path = "movement__practice"`;
- `fact_open_columns = (...)`: a fact. Never deleted, and only these columns ever change, save for one erasure;
  `fact_columns_set_once = (...)`: of those, the ones that never change again once they have a value;
- `frozen_when_published = "section__session__block__state"`: nothing is added, changed or removed once that state is
  not "draft"; `frozen_fields_once_published = (...)` does the same for columns of the row that has the state.

A refused statement raises django.db.IntegrityError with a message that starts with "guard:".
"""

from jobs.guards.installing import emptying, expected_triggers, install, installed_triggers, remove, suspended

__all__ = ["emptying", "expected_triggers", "install", "installed_triggers", "remove", "suspended"]
