"""Which certificate, procedure or batch holds for which weld on which day."""
