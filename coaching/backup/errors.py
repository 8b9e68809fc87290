"""Why a backup was not taken, or not restored. For whoever runs the command."""


class BackupRefused(Exception):
    """Going on would overwrite something, or keep something that is not whole."""
