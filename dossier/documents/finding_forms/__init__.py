"""Findings for other programs: JSON lines, SARIF 2.1.0 and JUnit XML."""
