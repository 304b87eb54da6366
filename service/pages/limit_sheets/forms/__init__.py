"""From the items of a sheet to forms and back; a number is read with its unit, a choice from its list."""
