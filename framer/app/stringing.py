"""What the command line prints of the stringing table, and of sag and blow-out."""

from __future__ import annotations

from framer.app.paper import MARKS
from framer.geometry.scene import Scene
from framer.model.stage import stage_name
from framer.strength.loads import cases
from framer.strength.sagging import WAVES, Stringing, told_sags
from framer.units.length import decimal_text, length_text


def print_stringing(scene: Scene, tables: list[Stringing]) -> None:
    """Print the stringing table of every wire."""
    job = scene.job
    print(f"{job.title} - stringing, {stage_name(job, scene.stage)}")
    if not tables:
        print("no wire hangs at this stage")
    for one in tables:
        span = decimal_text(one.span_in, unit="ft", system=job.settings.units)
        print(f"\n{one.name}, span {span}")
        if one.rows:
            print(f"   temperature   tension   sag            {WAVES} returns")
        for row in one.rows:
            sag = length_text(row.sag_in, step_in=0.5, system=job.settings.units)
            print(
                f"   {row.temp_f:9.0f} F {row.tension_lbf:9,.0f} lbf {sag:14} {row.waves_s:5.2f} s"
            )
        for words in one.missing:
            print(f"{MARKS['cannot say']} cannot say: {words}")
        for words in one.notes:
            print(f"   {words}")
    print("\nsag and blow-out")
    loadings, missing = cases(job.settings)
    for name, lines in told_sags(scene, loadings):
        print(f"\n{name}")
        for line in lines:
            print(f"   {line}")
    for words in missing:
        print(f"{MARKS['cannot say']} cannot say: {words}")
