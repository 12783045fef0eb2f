"""`standback view`: the walk-up picture."""

from dataclasses import replace
from pathlib import Path

import click

from standback import console
from standback.cli.briefing import settings_of
from standback.cli.options import DISTANCES, FILE, GroupedCommand, artwork_options, for_all, option, sight_options
from standback.errors import ExitCode, UnreadableError
from standback.reports.wrapping import clean

_HELP = """Draw the walk-up: one poster as it is seen from each distance, side by side.

\b
standback view poster.png --size A2 --from 10m,5m,2m
standback view poster.png --from 30ft,15ft -o walkup.png
"""


@click.command(cls=GroupedCommand, help=_HELP, short_help="Draw a poster as it is seen from a row of distances.")
@click.argument("artwork", type=FILE)
@artwork_options
@option(
    "--from",
    "distances_m",
    heading="The viewer",
    type=DISTANCES,
    required=True,
    help="Distances to stand at, parted by commas, such as 10m,5m,2m or 30ft,15ft.",
)
@sight_options
@option(
    "--as",
    "vision",
    heading="The viewer",
    type=click.Choice(["protan", "deutan", "tritan"]),
    help="Show the colours as a viewer sees them who lacks a kind of cone: protan (red-blind), deutan "
    "(green-blind) or tritan (blue-blind).",
)
@option(
    "--output",
    "-o",
    "output_path",
    heading="What is written",
    metavar="PATH",
    help="The PNG file to draw. Left out: the artwork's name with -walkup.png, in the folder you are in.",
)
@option(
    "--force",
    heading="What is written",
    is_flag=True,
    help="Replace a file that standback did not make.",
)
@for_all
@click.pass_context
def view(
    ctx: click.Context,
    /,
    artwork: str,
    distances_m: tuple[float, ...],
    vision: str | None,
    output_path: str | None,
    force: bool,
    **_settings: object,
) -> int:
    """Draw the walk-up picture, print where it went and return the exit code."""
    from standback import batch, outputs

    given = f"{Path(artwork).stem}-walkup.png" if output_path is None else output_path
    picture = outputs.Output(option="--output", given=given, force=force)
    outputs.check_outputs([picture], [artwork])
    settings = settings_of(ctx)
    with console.Progress(1, quiet=False) as progress:
        progress.show(0, artwork)
        try:
            loaded = batch.opened(artwork, settings)
        except UnreadableError as error:
            raise UnreadableError(f"{artwork}: {error}") from error
        from standback import eye
        from standback.reports.walkup import draw_walkup

        settings = replace(settings, stock=loaded.paper or settings.stock)
        viewer = settings.viewer
        pupil_mm = eye.pupil_diameter_mm(settings.luminance_cdm2, age_years=viewer.pupil_years)
        png = draw_walkup(
            loaded,
            distances_m,
            pupil_mm=pupil_mm,
            acuity_logmar=viewer.acuity_logmar,
            vision=vision,
            stock=settings.stock,
        )
        picture.write(png)
    console.out(f"{clean(given)}\n")
    return ExitCode.GOOD
