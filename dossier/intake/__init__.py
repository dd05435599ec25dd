"""Files to records: readers, schema validation, joint numbering."""
