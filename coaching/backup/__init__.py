"""Backups: database and clips as one set, written while people work, restored into an empty installation.

A backup is a folder of plain files (docs/backup.md): a table each as JSON lines, the clips, and a manifest that names
all of them with their checksums. It needs no tool of a database, so it also moves an installation from one database
or storage to another.
"""
