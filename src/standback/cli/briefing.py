"""The settings of a run: what the command line says, and below it what a brief says."""

from dataclasses import fields

import click
from click.core import ParameterSource

from standback.settings import Settings

_NAMES = frozenset(field.name for field in fields(Settings))


def settings_of(ctx: click.Context, brief_path: str | None = None) -> Settings:
    """Return the settings that a command's options give: those whose parameters are named as fields of `Settings`.

    Parameters
    ----------
    brief_path
        A brief, which what the command line itself says outranks; None without one.
    """
    settings = Settings(**{name: value for name, value in ctx.params.items() if name in _NAMES})
    if brief_path is None:
        return settings
    from standback.brief.apply import with_brief
    from standback.brief.load import load_brief

    given = [name for name in ctx.params if ctx.get_parameter_source(name) is ParameterSource.COMMANDLINE]
    return with_brief(settings, load_brief(brief_path), given=given)
