"""What a workbook for data entry is known by, and where things stand in its sheets."""

LISTS, LEGEND = "Lists", "Legend"
MARK = "dossier workbook for data entry"
TITLE_ROW, PATH_ROW, HELP_ROW, HEADING_ROW, FIRST_ROW = 1, 2, 3, 4, 5
LAST_ROW = 20_000  # rules and drop-down lists hold as far as this row
