"""Every calculation of `spindlebook calc`, with its keys: the same functions as the pages and the command line."""
