"""What a measured line is for."""

from standback.facts import facts_in
from standback.measure.model import Measurement


def facts_of(m: Measurement) -> tuple[str, ...]:
    """Return what a line is for: by its role in the brief, and by what it says."""
    roles = () if m.role is None else (m.role.casefold(),)
    return tuple(dict.fromkeys((*roles, *facts_in(m.said or ""))))
