"""ISO 5817:2014, quality levels for imperfections in fusion welds of steel."""
