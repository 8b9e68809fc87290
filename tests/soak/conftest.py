from tests.faults.conftest import prepared

__all__ = ["prepared"]
