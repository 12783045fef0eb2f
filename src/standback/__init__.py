"""standback: what a viewer across the room still sees of a poster, and what to change.

`standback.audit(path_or_pixels, size_mm=..., far_m=...)` returns the same report that the command line writes.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from standback.auditing import audit

__version__ = "0.1.0"
__all__ = ["__version__", "audit"]


def __getattr__(name: str) -> Any:
    """Load the audit, and numpy with it, only when it is asked for: `standback --help` must stay quick."""
    if name == "audit":
        from standback.auditing import audit

        return audit
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
