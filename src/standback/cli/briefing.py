"""What a brief says, and what the command line says over it."""

import click
from click.core import ParameterSource

from standback.settings import Settings


def with_brief_of(settings: Settings, path: str, ctx: click.Context) -> Settings:
    """Read the brief, and let what the command line itself says outrank it."""
    from standback.brief.apply import with_brief
    from standback.brief.load import load_brief

    given = [name for name in ctx.params if ctx.get_parameter_source(name) is ParameterSource.COMMANDLINE]
    return with_brief(settings, load_brief(path), given=given)
