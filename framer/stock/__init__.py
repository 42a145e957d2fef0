"""Parts that can be placed, wires, bolts and pole tables, read from resources/stock.

Every value carries where it comes from; what was recalled and not read says so wherever shown.
"""
