"""Spindlebook: the workshop record for the overhaul of fuel injectors of large marine diesel engines."""
