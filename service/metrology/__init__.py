"""What a measurement means: limits and fits, gauging, ovality, conformity, units. No I/O, no clock."""
