"""Joint sketches, strip maps and charts as SVG text, drawn from the records to scale."""

from dossier.drawings.around import indication_map
from dossier.drawings.charts import Bar, bar_chart
from dossier.drawings.groove import groove_sketch
from dossier.drawings.ranges import RangeBar, range_chart
from dossier.drawings.runs import run_sketch
from dossier.drawings.strip import Mark, strip_map

__all__ = [
    "Bar",
    "Mark",
    "RangeBar",
    "bar_chart",
    "groove_sketch",
    "indication_map",
    "range_chart",
    "run_sketch",
    "strip_map",
]
