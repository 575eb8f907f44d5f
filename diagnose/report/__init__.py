"""What stands in a report or on a worksheet, as plain values, and the pages they are written to."""
