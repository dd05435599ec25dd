"""ASME BPVC Section IX, welding part: one module an edition over shared rules.

`edition_2017` ... `edition_2023` are what the rest of the tool asks. The other modules hold the
rules, written once for the text of 2019; where an edition differs, `common.Edition` says so.
"""
