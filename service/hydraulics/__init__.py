"""What a bench test means: opening pressure, adjusting discs. No I/O, no clock."""
