"""ISO 10675-1:2016, acceptance levels for radiography of welds in steel."""
