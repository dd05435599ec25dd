"""What a record is: frozen typed records, the position each came from, and verdicts."""
